/**
 * New versions of the app.
 *
 * A new worker waits until the person agrees; it never swaps files under an open page. We check for it on every load
 * and every return to the page, since the event that announces it is easily missed.
 */

import { updateReady } from "../state/signals";

export const WORKER = "/worker.js";

export function startUpdates(): void {
  if (!("serviceWorker" in navigator) || import.meta.env.DEV) return;
  let controlled = navigator.serviceWorker.controller !== null;
  /** Another tab has loaded a newer version: this page's files are no longer on the phone. */
  let replaced = false;
  const watching = (registration: ServiceWorkerRegistration) => watch(registration, () => replaced);
  navigator.serviceWorker.register(WORKER).then(watching, (fault) => console.error(fault));
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    // The first visit gets its controller too.
    if (controlled) replaced = updateReady.value = true;
    controlled = true;
  });
}

/** The person agreed: the waiting worker takes over, and the page reloads. */
export async function takeUpdate(): Promise<void> {
  const registration = await navigator.serviceWorker.getRegistration();
  if (!registration?.waiting) return location.reload();
  // Only a wanted change loads the page again.
  navigator.serviceWorker.addEventListener("controllerchange", () => location.reload());
  // Chromium sometimes leaves the worker waiting after the message, so it is sent again until this page is reloaded.
  const ask = () => registration.waiting?.postMessage("take over");
  ask();
  setInterval(ask, 1000);
}

/**
 * Removes worker and caches and loads the app from the server. The person's data is stored elsewhere and stays. Returns
 * false, and changes nothing, if the server does not answer.
 */
export async function repair(start: string): Promise<boolean> {
  // A query string bypasses the precache, so this asks the server itself.
  const asked = fetch("/healthz?fresh", { cache: "no-store", signal: AbortSignal.timeout(10_000) });
  if (!(await asked.catch(() => null))?.ok) return false;
  for (const registration of (await navigator.serviceWorker?.getRegistrations()) ?? []) {
    await registration.unregister();
  }
  for (const name of (await globalThis.caches?.keys()) ?? []) await caches.delete(name);
  location.replace(start);
  return true;
}

function watch(registration: ServiceWorkerRegistration, isReplaced: () => boolean): void {
  registration.active?.postMessage("fill up");
  const look = () => {
    updateReady.value = isReplaced() || (registration.waiting !== null && registration.active !== null);
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
