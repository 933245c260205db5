/** A kept test on its way out. */

import type { Test } from "../records";
import type { SealedTest } from "./schema";

/** The record as it is sent: sharing is the consent. */
export function asSent(test: SealedTest): Test {
  return { ...test, consent: "CC0-1.0" };
}
