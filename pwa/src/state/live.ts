/** Keeps the view state in sync with the stores, and saves what a person chooses. */

import type { Signal } from "@preact/signals";
import type { ListChoice } from "../model/filters";
import type { Settings } from "../rows/settings";
import { NO_VEHICLES } from "../rows/vehicle";
import { onChange } from "../store/changes";
import { countUnsent } from "../store/outbox";
import { changeFact, readFacts, saveSettings, wholeSettings } from "../store/settings";
import { listStars } from "../store/starred";
import { clockBehind, listChoice, server, settings, stars, vehicles, whereabouts } from "./signals";

/** A person's choice that may not be on the disk yet: it is shown at once and stays. */
interface Choice {
  settings?: (old: Settings) => Settings;
  list?: (old: ListChoice | null) => ListChoice;
}

export class Live {
  readonly #choices = new Set<Choice>();
  #stop: () => void = () => undefined;
  #begun = 0;
  #shown = 0;

  /** Reads the stores once and keeps the signals in sync with them. */
  async start(): Promise<void> {
    this.#stop = onChange((places) => {
      if (places.includes("settings") || places.includes("merged")) void this.#readSettings();
      if (places.includes("outbox")) void readOutbox();
    });
    await Promise.all([this.#readSettings(), readOutbox()]);
    server.value = { ...server.value, known: true };
  }

  /** From now on the signals stay as they are. */
  stop(): void {
    this.#stop();
  }

  chooseSettings(change: Partial<Settings>): Promise<void> {
    return this.#choose({ settings: (old) => ({ ...old, ...change }) }, () => saveSettings(change));
  }

  /** The state of the list of sources; null: the default. */
  chooseList(list: (old: ListChoice | null) => ListChoice): Promise<void> {
    return this.#choose({ list }, () => changeFact("list", (old) => list(old ?? null)));
  }

  async #choose(choice: Choice, write: () => Promise<void>): Promise<void> {
    this.#choices.add(choice);
    this.#show(settings.value, listChoice.value);
    try {
      await write();
    } finally {
      // Anything read before this is older.
      await this.#readSettings();
      this.#choices.delete(choice);
    }
  }

  #show(stored: Settings, storedList: ListChoice | null | undefined): void {
    const made = [...this.#choices];
    update(
      settings,
      made.reduce((old, { settings: change }) => change?.(old) ?? old, stored),
    );
    update(
      listChoice,
      made.reduce((old, { list: change }) => change?.(old ?? null) ?? old, storedList),
    );
  }

  async #readSettings(): Promise<void> {
    this.#begun += 1;
    const mine = this.#begun;
    const [found, starred] = await Promise.all([
      readFacts("settings", "vehicles", "position", "exchange", "demo", "clock", "list"),
      listStars(),
    ]);
    // Of two concurrent reads the one that started later counts, no matter which ends first.
    if (mine < this.#shown) return;
    this.#shown = mine;
    this.#show(wholeSettings(found), found.list ?? null);
    update(vehicles, found.vehicles ?? NO_VEHICLES);
    update(whereabouts, found.position ?? null);
    update(stars, starred);
    clockBehind.value = found.clock?.behind ?? null;
    server.value = { ...server.value, ...found.exchange, demo: found.demo ?? false };
  }
}

/** Reading the same again should not rank two thousand sources again, or move a map back. */
function update<Value>(shown: Signal<Value>, found: Value): void {
  const textOf = (value: Value) => JSON.stringify(value instanceof Set ? [...value] : value);
  if (textOf(found) !== textOf(shown.value)) shown.value = found;
}

async function readOutbox(): Promise<void> {
  const counts = await countUnsent();
  // The current state: an exchange may have started or ended meanwhile.
  server.value = { ...server.value, ...counts };
}
