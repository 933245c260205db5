/// <reference lib="webworker" />
/** The service worker: caches the whole app on the phone and serves it from there. It never handles the API. */

import { PrecacheController, PrecacheRoute } from "workbox-precaching";
import { NavigationRoute, registerRoute } from "workbox-routing";

declare const self: ServiceWorkerGlobalScope;
/** Filled in by build/precache.mjs. The digests reject what a captive portal returns instead of a file. */
declare const __PRECACHE__: { url: string; revision: string | null; integrity: string; language?: string }[];

/** Paths that always go to the server. */
const SERVER_PATHS = [/^\/api\//, /^\/(healthz|livez|readyz|metrics)/];
const PAGE = "/index.html";

const files = __PRECACHE__;
const listed = files.filter((entry) => entry.language === undefined);
/** The files of a language are cached when it is first used on this phone, and from then on with every version. */
const ofLanguages = files.filter((entry) => entry.language !== undefined);
const SPOKEN = "languages";
const precache = new PrecacheController();
precache.addToCacheList(listed);
const page = precache.createHandlerBoundToURL(PAGE);

self.addEventListener("install", (event) => {
  event.waitUntil(Promise.all([precache.install(event), keepLanguages()]));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(Promise.all([precache.activate(event), forgetOldLanguages()]));
  // The first worker serves the page that installed it; a later one is activated only after the person agreed.
  event.waitUntil(self.clients.claim());
});

// `?fresh` asks the server for the page; the cached one is used only if the server does not answer.
registerRoute(
  ({ request, url }) => request.mode === "navigate" && url.searchParams.has("fresh"),
  (options) => fetch(options.request).catch(() => page(options)),
);
registerRoute(
  ({ sameOrigin, url }) => sameOrigin && languageAt(url.pathname),
  ({ url, event }) => {
    const answer = cachedFile(url.pathname);
    // Also caches the rest of its language, including files that no screen has requested yet.
    event.waitUntil(answer.then(keepLanguages).catch(() => undefined));
    return answer;
  },
);
registerRoute(new PrecacheRoute(precache, { cleanURLs: false }));
registerRoute(new NavigationRoute(page, { denylist: SERVER_PATHS }));

self.addEventListener("message", (event) => {
  if (event.data === "take over") event.waitUntil(self.skipWaiting());
  if (event.data === "fill up") event.waitUntil(fillUp());
  if (event.data === "new page") event.waitUntil(renewPage());
});

function languageAt(path: string) {
  return ofLanguages.find((entry) => entry.url === path);
}

/** The file of a language, from the cache or, the first time, from the server. */
async function cachedFile(path: string): Promise<Response> {
  const cache = await caches.open(SPOKEN);
  const kept = await cache.match(path);
  if (kept) return kept;
  const answer = await fetch(path, { integrity: languageAt(path)?.integrity as string });
  if (answer.ok) await cache.put(path, answer.clone());
  return answer;
}

/** Caches the languages of this phone: those in its settings, and those used before. */
async function keepLanguages(): Promise<void> {
  const before = await (await caches.open(SPOKEN)).keys();
  const names = before
    .map(({ url }) => new URL(url).pathname.slice("/assets/".length))
    .concat(self.navigator.languages);
  const wanted = new Set(names.map((name) => name.slice(0, 2)));
  await Promise.all(ofLanguages.filter(({ language = "" }) => wanted.has(language)).map(({ url }) => cachedFile(url)));
}

async function forgetOldLanguages(): Promise<void> {
  const cache = await caches.open(SPOKEN);
  for (const request of await cache.keys()) if (!languageAt(new URL(request.url).pathname)) await cache.delete(request);
}

/**
 * Fetches missing files. Browsers drop single files when storage is short, and a worker that was removed while another
 * tab was open comes back without installing.
 */
async function fillUp(): Promise<void> {
  const cache = await caches.open(precache.strategy.cacheName);
  for (const { url, integrity } of listed) {
    const key = precache.getCacheKeyForURL(url) as string;
    if ((await cache.match(key)) === undefined) await fetchInto(cache, key, url, { integrity, cache: "no-cache" });
  }
  await keepLanguages();
}

/** Fetches the page with the server's current policy: the same page, or none and the cached one remains. */
async function renewPage(): Promise<void> {
  const cache = await caches.open(precache.strategy.cacheName);
  for (const { url, integrity } of listed.filter((entry) => entry.url === PAGE)) {
    await fetchInto(cache, precache.getCacheKeyForURL(url) as string, url, { integrity, cache: "reload" });
  }
}

async function fetchInto(cache: Cache, key: string, url: string, asked: RequestInit): Promise<void> {
  const answer = await fetch(url, asked);
  if (answer.ok) await cache.put(key, answer);
}

/** Background Sync, if the browser supports it: wakes an open page, which sends the outbox itself. */
self.addEventListener("sync", (event) => {
  (event as ExtendableEvent).waitUntil(wakePages());
});

async function wakePages(): Promise<void> {
  const pages = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
  for (const page of pages) page.postMessage("drain");
}
