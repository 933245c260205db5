/**
 * New versions of the app.
 *
 * A new worker waits until the person agrees; it never swaps files under an open page. It is looked for on every load
 * and every return to the page, since the event that announces it is easily missed.
 */

import { signal } from "@preact/signals";

export const WORKER = "/worker.js";

/** A new version is on the phone and waits. */
export const updateReady = signal(false);

let taking = false;
/** Another tab has loaded a newer version: this page's files are no longer on the phone. */
let replaced = false;

export function startUpdates(): void {
  if (!("serviceWorker" in navigator) || import.meta.env.DEV) return;
  navigator.serviceWorker.register(WORKER).then(watch, (fault) => console.error(fault));
  let controlled = navigator.serviceWorker.controller !== null;
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    // The first visit gets its controller too; only a wanted change loads the page again.
    if (taking) location.reload();
    else if (controlled) replaced = updateReady.value = true;
    controlled = true;
  });
}

/** The person agreed: the waiting worker takes over, and the page loads again. */
export async function takeUpdate(): Promise<void> {
  const registration = await navigator.serviceWorker.getRegistration();
  if (!registration?.waiting) return location.reload();
  taking = true;
  // Now and then Chromium leaves the worker waiting after it was asked, so it is asked until this page is loaded again.
  const ask = () => registration.waiting?.postMessage("take over");
  ask();
  setInterval(ask, 1000);
}

/**
 * Removes worker and caches and loads the app from the server. What the person kept is elsewhere and stays.
 * False, leaving all as it is, when the server does not answer.
 */
export async function repair(start: string): Promise<boolean> {
  // A query string misses the precache, so this asks the server itself.
  const asked = fetch("/healthz?fresh", { cache: "no-store", signal: AbortSignal.timeout(10_000) });
  if (!(await asked.catch(() => null))?.ok) return false;
  for (const registration of (await navigator.serviceWorker?.getRegistrations()) ?? []) {
    await registration.unregister();
  }
  for (const name of (await globalThis.caches?.keys()) ?? []) await caches.delete(name);
  location.replace(start);
  return true;
}

function watch(registration: ServiceWorkerRegistration): void {
  registration.active?.postMessage("fill up");
  const look = () => {
    updateReady.value = replaced || (registration.waiting !== null && registration.active !== null);
  };
  const follow = () => registration.installing?.addEventListener("statechange", look);
  look();
  follow();
  registration.addEventListener("updatefound", follow);
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState !== "visible") return;
    look();
    registration.update().catch(() => undefined);
  });
}
