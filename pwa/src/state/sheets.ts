/** Open run sheets: a queue of operations on them, and which of them a screen is editing. */

import type { Draft } from "../rows/draft";

/** A change; a function gets the current sheet, for operations that were started earlier. */
export type Part = Partial<Draft> | ((draft: Draft) => Partial<Draft>);
export type Change = (part: Part) => void;

export class Sheets {
  #last: Promise<unknown> = Promise.resolve();
  #openSheet: { key: string; change: Change } | null = null;

  /**
   * Queues an operation on a sheet. Operations run one after the other, also those of a screen that has been closed, so
   * each finds everything that was entered before.
   */
  readonly inTurn = <T>(act: () => Promise<T>): Promise<T> => {
    const mine = this.#last.then(act);
    this.#last = mine.catch(() => undefined);
    return mine;
  };

  /** Registers the screen that edits the sheet with this key. Returns a function that releases it. */
  take(key: string, change: Change): () => void {
    const mine = { key, change };
    this.#openSheet = mine;
    return () => {
      if (this.#openSheet === mine) this.#openSheet = null;
    };
  }

  /** The function that changes a sheet being edited; undefined while no screen edits it. */
  openSheet(key: string): Change | undefined {
    return this.#openSheet?.key === key ? this.#openSheet.change : undefined;
  }
}
