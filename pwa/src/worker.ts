/// <reference lib="webworker" />
/** The service worker: keeps the whole app on the phone and answers from there. It never touches the API. */

import {
  cleanupOutdatedCaches,
  createHandlerBoundToURL,
  type PrecacheEntry,
  precacheAndRoute,
} from "workbox-precaching";
import { NavigationRoute, registerRoute } from "workbox-routing";

declare const self: ServiceWorkerGlobalScope;
/** Filled in by build/precache.mjs. */
declare const __PRECACHE__: PrecacheEntry[];

/** Addresses that belong to the server, whatever a page asks for. */
const SERVER_PATHS = [/^\/api\//, /^\/healthz/, /^\/metrics/];

precacheAndRoute(__PRECACHE__, { cleanURLs: false });
cleanupOutdatedCaches();
registerRoute(
  new NavigationRoute(createHandlerBoundToURL("/index.html"), { denylist: [...SERVER_PATHS, /[?&]fresh\b/] }),
);

self.addEventListener("message", (event) => {
  if (event.data === "take over") void self.skipWaiting();
});

// The first worker serves the page that installed it; a later one gets here only after the person agreed.
self.addEventListener("activate", (event) => {
  event.waitUntil(self.clients.claim());
});

/** Background Sync, where a browser has it: wakes an open page, which drains the outbox itself. */
self.addEventListener("sync", (event) => {
  (event as ExtendableEvent).waitUntil(wakePages());
});

async function wakePages(): Promise<void> {
  const pages = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
  for (const page of pages) page.postMessage("drain");
}
