/** Notifies the screens of this tab and of other tabs that a store has changed. */

import type { Place } from "./schema";

type Listener = (places: Place[]) => void;

/** Of this page, whose one database they listen to. */
const listeners = new Set<Listener>();
const channel = typeof BroadcastChannel === "undefined" ? null : new BroadcastChannel("splitline.changes");
channel?.addEventListener("message", (event: MessageEvent<Place[]>) => notify(event.data));
// An open channel keeps a Node process alive; browsers have no unref.
(channel as { unref?: () => void } | null)?.unref?.();

/** Called by the store modules once the transaction has completed. */
export function announce(...places: Place[]): void {
  notify(places);
  channel?.postMessage(places);
}

/** Calls `listener` after every change; returns a function that stops it. */
export function onChange(listener: Listener): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

function notify(places: Place[]): void {
  for (const listener of listeners) listener(places);
}
