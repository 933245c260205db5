/** Whether the server knows another source at the place of the person's own one. */

import type { SourceRow } from "../../../rows/source";

/** The id of the other source, from the server's remarks on the newest revision; null if there are none. */
export function similarTo(source: Pick<SourceRow, "id" | "own" | "sync">): string | null {
  if (!source.own || source.sync?.state !== "sent") return null;
  const remark = source.sync.problems.find((problem) => problem.code === "similar_source");
  return remark && remark.value !== source.id ? remark.value : null;
}
