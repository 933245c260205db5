/** Whether the server knows another source at the place of one of one's own. */

import type { SourceRow } from "../../../rows/source";

/** The id of the other source, from what the server said of the newest revision; null where it said nothing. */
export function similarTo(source: Pick<SourceRow, "id" | "own" | "sync">): string | null {
  if (!source.own || source.sync?.state !== "sent") return null;
  const remark = source.sync.problems.find((problem) => problem.code === "similar_source");
  return remark && remark.value !== source.id ? remark.value : null;
}
