/**
 * When to exchange with the server: at the start, when the phone comes back to the page or to the network, every five
 * minutes while the page is open, when Background Sync wakes us, after something was kept, and when asked.
 */

import { server, settings } from "../state/signals";
import { onChange } from "../store/changes";
import { askedWait, backOff } from "./backoff";

const EVERY = 5 * 60_000;
/** ms after the start: the first screen comes first. */
const FIRST = 500;
/** ms after something was kept, so that a row of entries goes out together. */
const SETTLE = 1500;

let failures = 0;
/** By the clock that nobody can set, as all times here: a phone whose date was put right shall not wait for years. */
let notBefore = 0;
/** A server that told us to wait, and until when. */
let asked = { server: "", until: 0 };
let timer: ReturnType<typeof setTimeout> | undefined;
let running: Promise<void> | null = null;
let again = false;

/** The button: at once, whatever went before, unless this server told us to wait. */
export function exchangeNow(): Promise<void> {
  failures = 0;
  notBefore = asked.server === settings.value.server ? asked.until : 0;
  return exchangeSoon();
}

export function startSync(): void {
  addEventListener("online", () => void exchangeNow());
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") void exchangeSoon();
  });
  navigator.serviceWorker?.addEventListener("message", (event) => {
    if (event.data === "drain") void exchangeNow();
  });
  onChange((places) => {
    if (places.includes("outbox")) keptSomething();
  });
  setInterval(() => {
    if (document.visibilityState === "visible") void exchangeSoon();
  }, EVERY);
  setTimeout(() => void exchangeSoon(), FIRST);
}

let keptTimer: ReturnType<typeof setTimeout> | undefined;
let seenUnsent = 0;

/** More in the queue than before: send it soon, and ask to be woken if the page is gone by then. */
function keptSomething(): void {
  clearTimeout(keptTimer);
  keptTimer = setTimeout(() => {
    const { unsent } = server.value;
    if (unsent > seenUnsent) {
      void exchangeSoon();
      void askToBeWoken();
    }
    seenUnsent = unsent;
  }, SETTLE);
}

/** Exchanges unless it is too early after failures; asked for during an exchange, once more after it. */
function exchangeSoon(): Promise<void> {
  if (running !== null) {
    again = true;
    return running;
  }
  if (performance.now() < notBefore) return Promise.resolve();
  running = round().finally(() => {
    running = null;
    if (!again) return;
    again = false;
    void exchangeSoon();
  });
  return running;
}

async function round(): Promise<void> {
  clearTimeout(timer);
  const trouble = await once().catch((fault) => {
    console.error(fault);
    return undefined;
  });
  if (trouble === undefined) return;
  if (trouble === null) {
    failures = 0;
    notBefore = 0;
    // Whatever is in the queue from here on is new, also when it came while the answer was awaited.
    seenUnsent = 0;
    return;
  }
  failures += 1;
  const told = askedWait(trouble.retryAfter);
  asked = { server: settings.value.server, until: performance.now() + told };
  const wait = Math.max(told, backOff(failures, Math.random()));
  notBefore = performance.now() + wait;
  timer = setTimeout(waited, wait);
}

/** The wait is over, also where the timer rang a moment early by the page's other clock. */
function waited(): void {
  notBefore = 0;
  void exchangeSoon();
}

/** What exchanges is loaded after the first screen. */
async function once() {
  const { exchange } = await import("./exchange");
  return exchange(() => new Date());
}

interface SyncManager {
  register(tag: string): Promise<void>;
}

async function askToBeWoken(): Promise<void> {
  const registration = (await navigator.serviceWorker?.getRegistration()) as
    | (ServiceWorkerRegistration & { sync?: SyncManager })
    | undefined;
  await registration?.sync?.register("drain").catch(() => undefined);
}
