/** The regions in which the person's own source may be, if the server could not tell. */

import type { SourceRow } from "../../../rows/source";

/** A subdivision; if only the country has an outline, there is nothing to choose. */
const SUBDIVISION = /^[A-Z]{2}-[A-Z0-9]{1,3}$/;

/** The region the server chose first, then its neighbours; empty if no question is needed. */
export function candidatesOf(source: Pick<SourceRow, "own" | "subdivision" | "sync">): string[] {
  if (!source.own || source.subdivision !== null || source.sync?.state !== "sent") return [];
  const asked = source.sync.problems.find((problem) => problem.code === "region_uncertain");
  if (!asked) return [];
  const found = [asked.value, ...asked.limit.split(",")]
    .map((code) => code.trim())
    .filter((code) => SUBDIVISION.test(code));
  return found.length > 1 ? [...new Set(found)] : [];
}
