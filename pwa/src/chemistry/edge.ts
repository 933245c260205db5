// Suggests where the layers part, or that there is no clear line, from the chances that a network gives every place.
import { PLACES, SAMPLES, STRIPS, scores, softmax } from "./network";
import { at, clamped, first_largest } from "./series";

/** Strips have 400 samples from the water mark to the fuel mark and start 20 samples below the water mark. */
export const PER_COLUMN = 400;
export const BELOW = SAMPLES - PER_COLUMN - 1;
/** Samples from one place to the next. */
const APART = (SAMPLES - 1) / (PLACES - 1);
// Chances this many places around the likeliest one belong to the same line.
const AROUND = 5;
// Samples. Where the network is unsure, small moves change what it says, and the mean of two says so.
const MOVED = 6;
// The least chance of a line. Of milky tubes drawn for development (tests/tube_study.py) 96 % have less.
const LEAST = 0.75;
// The half-width: multiples of the chances' spread, and what cannot be seen (a tube that leans, a thick wall), samples.
const OF_SPREAD = 2;
const UNSEEN = 2.2;

/** Where the layers part, and the half-width: shares of the way from the water mark to the fuel mark. */
export interface Edge {
  readonly share: number;
  readonly half_width: number;
}

/** Return the parting line, or null when there is no clear one; strips as for `scores`. */
export function find_line(strips: Float32Array): Edge | null {
  const chances = chances_of(strips);
  const best = first_largest(chances);
  const first = Math.max(0, best - AROUND);
  const near = chances.subarray(first, best + AROUND + 1);
  const chance = sum(near);
  if (chance < LEAST) return null;
  const mean = sum(near.map((one, i) => one * i)) / chance;
  const spread = Math.sqrt(sum(near.map((one, i) => one * (i - mean) ** 2)) / chance);
  return {
    share: (APART * (first + middle(near, chance)) - BELOW) / PER_COLUMN,
    half_width: Math.hypot(OF_SPREAD * APART * spread, UNSEEN) / PER_COLUMN,
  };
}

/** The chance of every place: the mean of what is seen moved up a little, and moved down as in a mirror. */
function chances_of(strips: Float32Array): Float64Array {
  const up = chances_moved(strips, MOVED, (strip) => strip);
  const down = chances_moved(strips, -MOVED, (strip) => STRIPS - 1 - strip);
  return up.map((one, place) => (one + at(down, place)) / 2);
}

function chances_moved(strips: Float32Array, by: number, from: (strip: number) => number): Float64Array {
  const moved = strips.map((_, i) => {
    const [column, sample] = [Math.floor(i / SAMPLES), i % SAMPLES];
    const strip = column % STRIPS;
    return at(strips, (column - strip + from(strip)) * SAMPLES + clamped(sample + by, 0, SAMPLES - 1));
  });
  const chances = softmax(scores(moved)).subarray(0, PLACES);
  return chances.map((_, place) => chances[place - by / APART] ?? 0);
}

/** Where half of the chance lies below: one that the rim's far side takes draws a mean away from the line. */
function middle(near: Float64Array, chance: number): number {
  let below = 0;
  for (let i = 0; i < near.length; i++) {
    const here = at(near, i);
    if (below + here >= chance / 2) return i - 0.5 + (chance / 2 - below) / here;
    below += here;
  }
  return near.length - 0.5;
}

function sum(values: Float64Array): number {
  return values.reduce((total, one) => total + one, 0);
}
