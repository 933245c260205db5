/// <reference lib="webworker" />
/** The service worker: keeps the whole app on the phone and answers from there. It never touches the API. */

import { PrecacheController, PrecacheRoute } from "workbox-precaching";
import { NavigationRoute, registerRoute } from "workbox-routing";

declare const self: ServiceWorkerGlobalScope;
/** Filled in by build/precache.mjs. The digests keep out what a captive portal gives instead of a file. */
declare const __PRECACHE__: { url: string; revision: string | null; integrity: string }[];

/** Addresses that belong to the server, whatever a page asks for. */
const SERVER_PATHS = [/^\/api\//, /^\/(healthz|livez|readyz|metrics)/];
const PAGE = "/index.html";

const listed = __PRECACHE__;
const precache = new PrecacheController();
precache.addToCacheList(listed);
const page = precache.createHandlerBoundToURL(PAGE);

self.addEventListener("install", (event) => {
  event.waitUntil(precache.install(event));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(precache.activate(event));
  // The first worker serves the page that installed it; a later one gets here only after the person agreed.
  event.waitUntil(self.clients.claim());
});

// `?fresh` asks the server for the page; only when it does not answer, the one that is here has to do.
registerRoute(
  ({ request, url }) => request.mode === "navigate" && url.searchParams.has("fresh"),
  (options) => fetch(options.request).catch(() => page(options)),
);
registerRoute(new PrecacheRoute(precache, { cleanURLs: false }));
registerRoute(new NavigationRoute(page, { denylist: SERVER_PATHS }));

self.addEventListener("message", (event) => {
  if (event.data === "take over") event.waitUntil(self.skipWaiting());
  if (event.data === "fill up") event.waitUntil(fillUp());
});

/**
 * Fetches what is missing. Browsers drop single files when storage is short, and a worker that was removed while
 * another tab was open comes back without installing.
 */
async function fillUp(): Promise<void> {
  const cache = await caches.open(precache.strategy.cacheName);
  for (const { url, integrity } of listed) {
    const key = precache.getCacheKeyForURL(url) as string;
    if ((await cache.match(key)) !== undefined) continue;
    const answer = await fetch(url, { integrity, cache: "no-cache" });
    if (answer.ok) await cache.put(key, answer);
  }
}

/** Background Sync, where a browser has it: wakes an open page, which drains the outbox itself. */
self.addEventListener("sync", (event) => {
  (event as ExtendableEvent).waitUntil(wakePages());
});

async function wakePages(): Promise<void> {
  const pages = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
  for (const page of pages) page.postMessage("drain");
}
