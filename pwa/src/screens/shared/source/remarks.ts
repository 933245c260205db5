/** The server's objections to the person's own source, for display. */

import type { Problem } from "../../../records";
import type { SourceRow } from "../../../rows/source";
import { OF_CHANGE } from "../../../store/own-sources";

export function remarksOn({ own, sync }: Pick<SourceRow, "own" | "sync">): Problem[] {
  if (!own || sync === null) return [];
  const isAside = sync.state === "held" || sync.state === "refused";
  return isAside ? sync.problems : sync.problems.filter((problem) => OF_CHANGE.includes(problem.code));
}
