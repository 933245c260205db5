/** What the server has against a source of one's own, as a person should see it. */

import type { Problem } from "../../../records";
import type { SourceRow } from "../../../rows/source";
import { OF_CHANGE } from "../../../store/own-sources";

export function remarksOn({ own, sync }: Pick<SourceRow, "own" | "sync">): Problem[] {
  if (!own || sync === null) return [];
  const isAside = sync.state === "held" || sync.state === "refused";
  return isAside ? sync.problems : sync.problems.filter((problem) => OF_CHANGE.includes(problem.code));
}
