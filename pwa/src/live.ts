/** View state that many screens read: the settings, the last known position, and how things stand with the server. */

import { signal } from "@preact/signals";
import type { ListChoice } from "./filters";
import { onChange } from "./store/changes";
import { countUnsent } from "./store/outbox";
import type { Position, Settings } from "./store/schema";
import { DEFAULTS, type Exchange, loadSettings, readFact } from "./store/settings";

export const settings = signal<Settings>(DEFAULTS);
export const whereabouts = signal<Position | null>(null);

/** ms that this phone's clock was behind the server's when that was last asked; null before it was. */
export const clockBehind = signal<number | null>(null);

/** How the list of sources was left; null: as it is at first, undefined before the phone has told. */
export const listChoice = signal<ListChoice | null | undefined>(undefined);

export interface Server extends Exchange {
  /** The phone has told how things stood; before that nothing is known. */
  known: boolean;
  /** The server said that its data are an invented demo. */
  demo: boolean;
  /** An exchange is under way. */
  busy: boolean;
  /** Shared records that the server has not answered for. */
  unsent: number;
  /** Records that the server refused and that wait for the person. */
  parked: number;
}

export const server = signal<Server>({
  known: false,
  demo: false,
  busy: false,
  unsent: 0,
  parked: 0,
  succeeded_at: null,
  tried_at: null,
  trouble: null,
});

/** Reads the stores once and keeps the signals in step with them. */
export async function startLive(): Promise<void> {
  onChange((places) => {
    if (places.includes("settings")) void readSettings();
    if (places.includes("outbox")) void readOutbox();
  });
  await Promise.all([readSettings(), readOutbox()]);
  server.value = { ...server.value, known: true };
}

let begun = 0;
let shown = 0;

async function readSettings(): Promise<void> {
  begun += 1;
  const mine = begun;
  const [found, position, exchange, demo, clock, list] = await Promise.all([
    loadSettings(),
    readFact("position"),
    readFact("exchange"),
    readFact("demo"),
    readFact("clock"),
    readFact("list"),
  ]);
  // Of two readings under way the one that began later counts, whichever ends first.
  if (mine < shown) return;
  shown = mine;
  settings.value = found;
  whereabouts.value = position ?? null;
  clockBehind.value = clock?.behind ?? null;
  // The same choice read again is no reason to rank two thousand sources anew.
  if (JSON.stringify(list ?? null) !== JSON.stringify(listChoice.value)) listChoice.value = list ?? null;
  server.value = { ...server.value, ...exchange, demo: demo ?? false };
}

async function readOutbox(): Promise<void> {
  const counts = await countUnsent();
  // As it is by now: an exchange may have begun or ended meanwhile.
  server.value = { ...server.value, ...counts };
}
