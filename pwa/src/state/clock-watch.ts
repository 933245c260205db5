/** Watches whether the phone's clock is set. Whoever reads the time for a tube that settles looks here first. */

import { type Moment, setBetween } from "../model/clock";

/** ms between two looks where nobody else reads the time. */
const EVERY = 1000;

export class ClockWatch {
  readonly #wall: () => number;
  readonly #steady: () => number;
  readonly #told = new Set<(by: number) => void>();
  #before: Moment | null = null;
  #wasHidden = false;

  /** wall: ms since 1970 by the clock that can be set; steady: ms by the one that cannot. */
  constructor(wall: () => number, steady: () => number) {
    this.#wall = wall;
    this.#steady = steady;
  }

  /** Tells those who watch, before it returns, by how many ms the clock was set since the last look. */
  readonly look = (): void => {
    if (this.#before === null) return;
    const isHidden = document.visibilityState === "hidden";
    const after = this.#moment(this.#wasHidden || isHidden);
    const by = setBetween(this.#before, after);
    this.#before = after;
    this.#wasHidden = isHidden;
    if (by !== 0) for (const tell of this.#told) tell(by);
  };

  /** Calls `tell` with the ms by which the clock is set from now on, forward above 0. Gives the way to stop. */
  watch(tell: (by: number) => void): () => void {
    this.#wasHidden = document.visibilityState === "hidden";
    this.#before ??= this.#moment(this.#wasHidden);
    this.#told.add(tell);
    const timer = setInterval(this.look, EVERY);
    document.addEventListener("visibilitychange", this.look);
    return () => {
      // Once more while there is somebody to tell: whoever watches next begins with the clock as it is by then.
      this.look();
      clearInterval(timer);
      document.removeEventListener("visibilitychange", this.look);
      this.#told.delete(tell);
      if (this.#told.size === 0) this.#before = null;
    };
  }
  #moment(unseen: boolean): Moment {
    return { wall: this.#wall(), steady: this.#steady(), unseen };
  }
}
