// A small convolutional network: strips of a picture in, a score for every place of the line and for "no line" out.
// Counterpart of pwa/training/network.py, where it is trained; `network.json` has its weights, a byte each.
import stored from "./network.json";
import { at } from "./series";

/** Strips side by side, samples along the tube, and the places of the line: every second sample. */
export const STRIPS = 41;
export const SAMPLES = 421;
export const PLACES = 211;
// How far apart the samples are that each look along the tube compares.
const REACHES = [1, 2, 4, 8, 16, 1];
const ALONG = 7;
// Added to the spread of a picture's colours, levels of 255: an even picture is not blown up to noise.
const FAINT = 8;

/** Values by channel, column (across the tube) and row (along it). */
interface Planes {
  readonly channels: number;
  readonly rows: number;
  readonly columns: number;
  readonly values: Float32Array;
}

interface Layer {
  readonly shape: readonly [out: number, into: number, tall: number, wide: number];
  readonly weights: Float32Array;
  readonly bias: readonly number[];
}

interface Step {
  readonly down?: number;
  readonly aside?: number;
  /** Columns of zeros added on each side. */
  readonly beyond?: number;
  readonly reach?: number;
}

const layers: ReadonlyMap<string, Layer> = new Map(
  stored.map(({ name, shape, scale, bias, weights }) => {
    const bytes = Int8Array.from(atob(weights), (letter) => letter.charCodeAt(0));
    const each = bytes.length / scale.length;
    const values = Float32Array.from(bytes, (byte, i) => byte * at(scale, Math.floor(i / each)));
    return [name, { shape: shape as unknown as Layer["shape"], bias, weights: values }];
  }),
);

/**
 * Return a score for each place along the tube, from 20 samples below the water mark to the fuel mark, and last the one
 * for no line; `softmax` makes them chances. strips: colours of 0 to 255 by channel, strip and sample.
 */
export function scores(strips: Float32Array): Float64Array {
  let seen = normal(strips);
  seen = positive(convolved(seen, "first", { down: 2, aside: 2, beyond: 2 }));
  seen = positive(convolved(seen, "second", { aside: 2, beyond: 1 }));
  seen = positive(convolved(seen, "third", { aside: 2, beyond: 1 }));
  seen = positive(placed(convolved(seen, "across")));
  REACHES.forEach((reach, block) => {
    const mixed = positive(convolved(along(seen, `along${block}`, reach), `mix${block}`));
    seen = { ...seen, values: seen.values.map((value, i) => value + at(mixed.values, i)) };
  });
  const line = convolved(seen, "line").values;
  const none = convolved(summary(seen), "none").values;
  return Float64Array.from([...line, ...none]);
}

/** Scores as chances that add up to 1. */
export function softmax(values: Float64Array): Float64Array {
  const most = Math.max(...values);
  const raised = values.map((value) => Math.exp(value - most));
  const total = raised.reduce((sum, value) => sum + value, 0);
  return raised.map((value) => value / total);
}

/** Colours around their mean, in multiples of the picture's spread. */
function normal(strips: Float32Array): Planes {
  const size = SAMPLES * STRIPS;
  const sum = (values: Float32Array) => values.reduce((total, value) => total + value, 0);
  const all = sum(strips) / strips.length;
  const spread = Math.sqrt(strips.reduce((total, value) => total + (value - all) ** 2, 0) / strips.length) + FAINT;
  const means = [0, 1, 2].map((c) => sum(strips.subarray(c * size, (c + 1) * size)) / size);
  const values = strips.map((value, i) => (value - at(means, Math.floor(i / size))) / spread);
  return { channels: 3, rows: SAMPLES, columns: STRIPS, values };
}

function positive(planes: Planes): Planes {
  return { ...planes, values: planes.values.map((value) => Math.max(0, value)) };
}

function layer_of(name: string): Layer {
  return layers.get(name) as Layer;
}

function convolved(input: Planes, name: string, { down = 1, aside = 1, beyond = 0 }: Step = {}): Planes {
  const { shape, weights, bias } = layer_of(name);
  const [out, into, tall, wide] = shape;
  const rows = Math.ceil(input.rows / down);
  const columns = Math.floor((input.columns + 2 * beyond - wide) / aside) + 1;
  const values = new Float32Array(out * columns * rows);
  for (let o = 0; o < out; o++) {
    values.fill(at(bias, o), o * columns * rows, (o + 1) * columns * rows);
    for (let k = 0; k < into * tall * wide; k++) {
      const weight = at(weights, o * into * tall * wide + k);
      const plane = Math.floor(k / (tall * wide)) * input.columns;
      const up = (Math.floor(k / wide) % tall) - (tall >> 1);
      const [start, end] = [Math.max(0, Math.ceil(-up / down)), Math.min(rows, Math.ceil((input.rows - up) / down))];
      for (let column = 0; column < columns; column++) {
        const source = column * aside + (k % wide) - beyond;
        if (source < 0 || source >= input.columns) continue;
        const from = (plane + source) * input.rows + up;
        const to = (o * columns + column) * rows;
        for (let row = start; row < end; row++)
          (values[to + row] as number) += weight * (input.values[from + row * down] as number);
      }
    }
  }
  return { channels: out, rows, columns, values };
}

/** Each channel by itself along the tube. */
function along(input: Planes, name: string, reach: number): Planes {
  const { weights, bias } = layer_of(name);
  const values = Float32Array.from(input.values, (_, i) => {
    const [channel, row] = [Math.floor(i / input.rows), i % input.rows];
    let total = at(bias, channel);
    for (let k = 0; k < ALONG; k++) {
      const source = row + (k - (ALONG >> 1)) * reach;
      if (source >= 0 && source < input.rows)
        total += at(weights, channel * ALONG + k) * at(input.values, channel * input.rows + source);
    }
    return total;
  });
  return { ...input, values };
}

/** Each channel also gets how far up the tube it is. */
function placed(input: Planes): Planes {
  const { bias } = layer_of("place");
  const way = (row: number) => (2 * row) / (input.rows - 1) - 1;
  const values = input.values.map((value, i) => value + at(bias, Math.floor(i / input.rows)) * way(i % input.rows));
  return { ...input, values };
}

/** The mean and the largest value of each channel. */
function summary({ channels, rows, values }: Planes): Planes {
  const parts = Array.from({ length: channels }, (_, c) => values.subarray(c * rows, (c + 1) * rows));
  const means = parts.map((part) => part.reduce((total, value) => total + value, 0) / rows);
  const largest = parts.map((part) => Math.max(...part));
  return { channels: 2 * channels, rows: 1, columns: 1, values: Float32Array.from([...means, ...largest]) };
}
