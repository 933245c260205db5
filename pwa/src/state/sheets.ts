/** The sheets that fill: what is done to them, in its order, and which of them a screen has in hand. */

import type { Draft } from "../rows/draft";

/** The change; a function gets the current sheet, for what was started some time before. */
export type Part = Partial<Draft> | ((draft: Draft) => Partial<Draft>);
export type Change = (part: Part) => void;

export class Sheets {
  #last: Promise<unknown> = Promise.resolve();
  #openSheet: { key: string; change: Change } | null = null;

  /**
   * What is done to a sheet, one after the other in the order in which it was asked for, also by a screen that was left
   * meanwhile: whoever reads the sheet in turn finds all that was entered before.
   */
  readonly inTurn = <T>(act: () => Promise<T>): Promise<T> => {
    const mine = this.#last.then(act);
    this.#last = mine.catch(() => undefined);
    return mine;
  };

  /** A screen takes the sheet that lies there in hand. Gives the way to put it down. */
  take(key: string, change: Change): () => void {
    const mine = { key, change };
    this.#openSheet = mine;
    return () => {
      if (this.#openSheet === mine) this.#openSheet = null;
    };
  }

  /** Changes the sheet where it is in hand; undefined while no screen has it. */
  openSheet(key: string): Change | undefined {
    return this.#openSheet?.key === key ? this.#openSheet.change : undefined;
  }
}
