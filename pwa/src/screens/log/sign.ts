/** The shape of the mark beside a state: hollow while it waits, solid when done, a lozenge if the person must act. */

import type { OwnTest } from "../../rows/test";

export function signOf({ sync }: Pick<OwnTest, "sync">): "done" | "fault" | "open" {
  if (sync.state === "refused" || sync.state === "held") return "fault";
  return sync.state === "sent" ? "done" : "open";
}
