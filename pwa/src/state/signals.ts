/** View state that many screens read: the settings, the last known position, and how things stand with the server. */

import { signal } from "@preact/signals";
import type { ListChoice } from "../model/filters";
import type { Position, Settings } from "../rows/settings";
import { NO_VEHICLES, type Vehicles } from "../rows/vehicle";
import { onChange } from "../store/changes";
import type { Exchange } from "../store/facts";
import { countUnsent } from "../store/outbox";
import { changeFact, DEFAULTS, loadSettings, readFact, saveSettings } from "../store/settings";

export const settings = signal<Settings>(DEFAULTS);
/** The vehicles, and which of them is in use. */
export const vehicles = signal<Vehicles>(NO_VEHICLES);
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

/** What a person has chosen and the disk may not have yet: it stands on the screen from the first moment, and stays. */
interface Choice {
  settings?: (old: Settings) => Settings;
  list?: (old: ListChoice | null) => ListChoice;
}

const choices = new Set<Choice>();

async function choose(choice: Choice, write: () => Promise<void>): Promise<void> {
  choices.add(choice);
  show(settings.value, listChoice.value);
  try {
    await write();
  } finally {
    // Whatever was read before this is older.
    await readSettings();
    choices.delete(choice);
  }
}

export function chooseSettings(change: Partial<Settings>): Promise<void> {
  return choose({ settings: (old) => ({ ...old, ...change }) }, () => saveSettings(change));
}

/** How the list of sources is shown; null: it was left as it is at first. */
export function chooseList(list: (old: ListChoice | null) => ListChoice): Promise<void> {
  return choose({ list }, () => changeFact("list", (old) => list(old ?? null)));
}

function show(stored: Settings, storedList: ListChoice | null | undefined): void {
  const made = [...choices];
  settings.value = made.reduce((old, { settings: change }) => change?.(old) ?? old, stored);
  const list = made.reduce((old, { list: change }) => change?.(old ?? null) ?? old, storedList);
  // The same choice read again is no reason to rank two thousand sources anew.
  if (JSON.stringify(list) !== JSON.stringify(listChoice.value)) listChoice.value = list;
}

let begun = 0;
let shown = 0;

async function readSettings(): Promise<void> {
  begun += 1;
  const mine = begun;
  const [found, position, exchange, demo, clock, list, owned] = await Promise.all([
    loadSettings(),
    readFact("position"),
    readFact("exchange"),
    readFact("demo"),
    readFact("clock"),
    readFact("list"),
    readFact("vehicles"),
  ]);
  // Of two readings under way the one that began later counts, whichever ends first.
  if (mine < shown) return;
  shown = mine;
  show(found, list ?? null);
  vehicles.value = owned ?? NO_VEHICLES;
  whereabouts.value = position ?? null;
  clockBehind.value = clock?.behind ?? null;
  server.value = { ...server.value, ...exchange, demo: demo ?? false };
}

async function readOutbox(): Promise<void> {
  const counts = await countUnsent();
  // As it is by now: an exchange may have begun or ended meanwhile.
  server.value = { ...server.value, ...counts };
}
