/** The last failure in the background, shown to the person instead of only in the console. */

import { fault } from "../state/signals";
import { StorageReplaced, trouble } from "../store/open";

export function startFaults(): void {
  addEventListener("unhandledrejection", (event) => {
    // A separate notice says what to do.
    if (event.reason instanceof StorageReplaced || trouble.value !== null) {
      event.preventDefault();
      return;
    }
    fault.value =
      event.reason instanceof Error ? `${event.reason.name}: ${event.reason.message}` : String(event.reason);
  });
}
