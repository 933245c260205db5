/** Watches whether the phone's clock is set. Code that reads the time for a settling tube checks here first. */

import { type Moment, setBetween } from "../model/clock";

/** ms between two checks while nothing else reads the time. */
const EVERY = 1000;

export class ClockWatch {
  readonly #wall: () => number;
  readonly #steady: () => number;
  readonly #watchers = new Set<(by: number) => void>();
  #before: Moment | null = null;
  #wasHidden = false;

  /** wall: ms since 1970 by the clock that can be set; steady: ms by the one that cannot. */
  constructor(wall: () => number, steady: () => number) {
    this.#wall = wall;
    this.#steady = steady;
  }

  /** Notifies the watchers, before it returns, how many ms the clock was set since the last check. */
  readonly look = (): void => {
    if (this.#before === null) return;
    const isHidden = document.visibilityState === "hidden";
    const after = this.#moment(this.#wasHidden || isHidden);
    const by = setBetween(this.#before, after);
    this.#before = after;
    this.#wasHidden = isHidden;
    if (by !== 0) for (const watcher of this.#watchers) watcher(by);
  };

  /** Calls `watcher` with the ms by which the clock is set, positive for forward. Returns a function that stops it. */
  watch(watcher: (by: number) => void): () => void {
    this.#wasHidden = document.visibilityState === "hidden";
    this.#before ??= this.#moment(this.#wasHidden);
    this.#watchers.add(watcher);
    const timer = setInterval(this.look, EVERY);
    document.addEventListener("visibilitychange", this.look);
    return () => {
      // One last check while somebody is watching: the next watcher starts with the clock as it is then.
      this.look();
      clearInterval(timer);
      document.removeEventListener("visibilitychange", this.look);
      this.#watchers.delete(watcher);
      if (this.#watchers.size === 0) this.#before = null;
    };
  }
  #moment(unseen: boolean): Moment {
    return { wall: this.#wall(), steady: this.#steady(), unseen };
  }
}
