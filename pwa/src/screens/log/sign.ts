/** The shape of the mark beside a state: open while it waits, full when done, a lozenge when it needs the person. */

import type { OwnTest } from "../../rows/test";

export function signOf({ sync }: Pick<OwnTest, "sync">): "done" | "fault" | "open" {
  if (sync.state === "refused" || sync.state === "held") return "fault";
  return sync.state === "sent" ? "done" : "open";
}
