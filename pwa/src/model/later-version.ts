/** A pull may bring records of a later version of the app: what this version does not know about a test. */

import { LIQUIDS, type Sampled, SCALES, type Tube } from "../records";

/** Samples of what is sold there; what is in a tank is a mixture. */
const OF_THE_SOURCE: readonly string[] = ["pump", "can"] satisfies Sampled[];

/** Whether this version can compute readings from such a tube; another kind would give a wrong result. */
export function isKnownTube({ scale, liquid }: Pick<Tube, "scale" | "liquid">): boolean {
  return (SCALES as readonly string[]).includes(scale) && (LIQUIDS as readonly string[]).includes(liquid);
}

/** Whether a sample shows what a source sells. */
export function isOfSource(sampled: string): boolean {
  return OF_THE_SOURCE.includes(sampled);
}
