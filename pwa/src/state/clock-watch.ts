/** Watches whether the phone's clock is set. Whoever reads the time for a tube that settles looks here first. */

import { type Moment, setBetween } from "../model/clock";

/** ms between two looks where nobody else reads the time. */
const EVERY = 1000;

const told = new Set<(by: number) => void>();
let before: Moment | null = null;
let wasHidden = false;

/** Tells those who watch, before it returns, by how many ms the clock was set since the last look. */
export function lookAtClock(): void {
  if (before === null) return;
  const isHidden = document.visibilityState === "hidden";
  const after = { wall: Date.now(), steady: performance.now(), unseen: wasHidden || isHidden };
  const by = setBetween(before, after);
  before = after;
  wasHidden = isHidden;
  if (by !== 0) for (const tell of told) tell(by);
}

/** Calls `tell` with the ms by which the clock is set from now on, forward above 0. Gives the way to stop. */
export function watchClock(tell: (by: number) => void): () => void {
  wasHidden = document.visibilityState === "hidden";
  before ??= { wall: Date.now(), steady: performance.now(), unseen: wasHidden };
  told.add(tell);
  const timer = setInterval(lookAtClock, EVERY);
  document.addEventListener("visibilitychange", lookAtClock);
  return () => {
    // Once more while there is somebody to tell: whoever watches next begins with the clock as it is by then.
    lookAtClock();
    clearInterval(timer);
    document.removeEventListener("visibilitychange", lookAtClock);
    told.delete(tell);
    if (told.size === 0) before = null;
  };
}
