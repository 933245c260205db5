/**
 * When to exchange with the server: at the start, when the phone returns to the page or to the network, every five
 * minutes while the page is open, when Background Sync wakes us, after something was saved, and when the person asks.
 */

import { server, settings } from "../state/signals";
import { onChange } from "../store/changes";
import { askedWait, backOff } from "./backoff";
import type { Trouble } from "./client";

const EVERY = 5 * 60_000;
/** ms after the start: the first screen comes first. */
const FIRST = 500;
/** ms after something was saved, so that several entries are sent together. */
const SETTLE = 1500;

/** What the schedule is made with. */
export interface Means {
  /** Exchanges; null: it went through, undefined: another tab does it. */
  exchange: () => Promise<Trouble | null | undefined>;
  /** ms by a clock that nobody can set: a phone whose date was put right shall not wait for years. */
  steady: () => number;
  /** From 0 to below 1. */
  random: () => number;
}

export class SyncSchedule {
  readonly #means: Means;
  #failures = 0;
  /** As all times here, by the steady clock. */
  #notBefore = 0;
  /** A server that asked us to wait, and until when. */
  #asked = { server: "", until: 0 };
  #timer: ReturnType<typeof setTimeout> | undefined;
  #running: Promise<void> | null = null;
  #again = false;
  #keptTimer: ReturnType<typeof setTimeout> | undefined;
  #seenUnsent = 0;

  constructor(means: Means) {
    this.#means = means;
  }

  start(): void {
    addEventListener("online", () => void this.exchangeNow());
    document.addEventListener("visibilitychange", () => {
      if (document.visibilityState === "visible") void this.#exchangeSoon();
    });
    navigator.serviceWorker?.addEventListener("message", (event) => {
      if (event.data === "drain") void this.exchangeNow();
    });
    onChange((places) => {
      if (places.includes("outbox")) this.#onSaved();
    });
    setInterval(() => {
      if (document.visibilityState === "visible") void this.#exchangeSoon();
    }, EVERY);
    setTimeout(() => void this.#exchangeSoon(), FIRST);
  }

  /** The button: at once, regardless of earlier failures, unless this server asked us to wait. */
  readonly exchangeNow = (): Promise<void> => {
    this.#failures = 0;
    this.#notBefore = this.#asked.server === settings.value.server ? this.#asked.until : 0;
    return this.#exchangeSoon();
  };

  /** There is more in the queue than before: send it soon, and register a wake-up in case the page is gone by then. */
  #onSaved(): void {
    clearTimeout(this.#keptTimer);
    this.#keptTimer = setTimeout(() => {
      const { unsent } = server.value;
      if (unsent > this.#seenUnsent) {
        void this.#exchangeSoon();
        void askToBeWoken();
      }
      this.#seenUnsent = unsent;
    }, SETTLE);
  }

  /** Exchanges unless it is too early after failures; if requested during an exchange, once more after it. */
  #exchangeSoon(): Promise<void> {
    if (this.#running !== null) {
      this.#again = true;
      return this.#running;
    }
    if (this.#means.steady() < this.#notBefore) return Promise.resolve();
    this.#running = this.#round().finally(() => {
      this.#running = null;
      if (!this.#again) return;
      this.#again = false;
      void this.#exchangeSoon();
    });
    return this.#running;
  }

  async #round(): Promise<void> {
    clearTimeout(this.#timer);
    const trouble = await this.#means.exchange().catch((fault) => {
      console.error(fault);
      return undefined;
    });
    if (trouble === undefined) return;
    if (trouble === null) {
      this.#failures = 0;
      this.#notBefore = 0;
      // Anything queued from here on is new, even if it arrived while we waited for the answer.
      this.#seenUnsent = 0;
      return;
    }
    this.#failures += 1;
    const told = askedWait(trouble.retryAfter);
    this.#asked = { server: settings.value.server, until: this.#means.steady() + told };
    const wait = Math.max(told, backOff(this.#failures, this.#means.random()));
    this.#notBefore = this.#means.steady() + wait;
    this.#timer = setTimeout(() => this.#waited(), wait);
  }

  /** The wait is over; also if the timer, which runs by another clock, fired a moment early. */
  #waited(): void {
    this.#notBefore = 0;
    void this.#exchangeSoon();
  }
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
