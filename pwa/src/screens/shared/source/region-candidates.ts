/** The regions a source of one's own may lie in, where the server could not tell. */

import type { SourceRow } from "../../../rows/source";

/** A subdivision; where only a country is drawn there is nothing to choose. */
const SUBDIVISION = /^[A-Z]{2}-[A-Z0-9]{1,3}$/;

/** The region the server took first, then the neighbours; empty when nothing is asked. */
export function candidatesOf(source: Pick<SourceRow, "own" | "subdivision" | "sync">): string[] {
  if (!source.own || source.subdivision !== null || source.sync?.state !== "sent") return [];
  const asked = source.sync.problems.find((problem) => problem.code === "region_uncertain");
  if (!asked) return [];
  const found = [asked.value, ...asked.limit.split(",")]
    .map((code) => code.trim())
    .filter((code) => SUBDIVISION.test(code));
  return found.length > 1 ? [...new Set(found)] : [];
}
