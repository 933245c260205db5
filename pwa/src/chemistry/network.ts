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
// Rows of zeros before and after every column, as far as a look along the tube reaches beyond its ends.
const MARGIN = (ALONG >> 1) * Math.max(...REACHES);
// Inputs added in one pass over the rows. With one at a time, fetching and storing the sums takes most of the time.
const TOGETHER = 4;
// Added to the spread of a picture's colours, levels of 255: an even picture is not blown up to noise.
const FAINT = 8;

/** Values by channel, column (across the tube) and row (along it), and a last column of zeros. */
interface Planes {
  readonly channels: number;
  readonly columns: number;
  readonly rows: number;
  readonly values: Float64Array;
}

interface Layer {
  readonly shape: readonly [out: number, into: number, tall: number, wide: number];
  /** Those of each output, and zeros up to a multiple of TOGETHER. */
  readonly weights: Float64Array;
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
    const padded = TOGETHER * Math.ceil(each / TOGETHER);
    const values = new Float64Array(scale.length * padded);
    bytes.forEach((byte, i) => {
      const out = Math.floor(i / each);
      values[out * padded + (i % each)] = byte * at(scale, out);
    });
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
    const mixed = positive(convolved(convolved(seen, `along${block}`, { reach }), `mix${block}`));
    seen = { ...seen, values: seen.values.map((value, i) => value + at(mixed.values, i)) };
  });
  const none = convolved(summary(seen), "none");
  return Float64Array.from([...rows_of(convolved(seen, "line")), ...rows_of(none)]);
}

/** Scores as chances that add up to 1. */
export function softmax(values: Float64Array): Float64Array {
  const most = Math.max(...values);
  const raised = values.map((value) => Math.exp(value - most));
  const total = raised.reduce((sum, value) => sum + value, 0);
  return raised.map((value) => value / total);
}

function planes_of(channels: number, columns: number, rows: number): Planes {
  return { channels, columns, rows, values: new Float64Array((channels * columns + 1) * (rows + 2 * MARGIN)) };
}

function first_row({ columns, rows }: Planes, channel: number, column = 0): number {
  return (channel * columns + column) * (rows + 2 * MARGIN) + MARGIN;
}

/** The rows of a channel with one column. */
function rows_of(planes: Planes, channel = 0): Float64Array {
  const first = first_row(planes, channel);
  return planes.values.subarray(first, first + planes.rows);
}

/** Colours around their mean, in multiples of the picture's spread. */
function normal(strips: Float32Array): Planes {
  const size = SAMPLES * STRIPS;
  const sum = (values: Float32Array) => values.reduce((total, value) => total + value, 0);
  const all = sum(strips) / strips.length;
  const spread = Math.sqrt(strips.reduce((total, value) => total + (value - all) ** 2, 0) / strips.length) + FAINT;
  const means = [0, 1, 2].map((c) => sum(strips.subarray(c * size, (c + 1) * size)) / size);
  const planes = planes_of(3, STRIPS, SAMPLES);
  strips.forEach((value, i) => {
    const to = first_row(planes, 0, Math.floor(i / SAMPLES)) + (i % SAMPLES);
    planes.values[to] = (value - at(means, Math.floor(i / size))) / spread;
  });
  return planes;
}

function positive(planes: Planes): Planes {
  return { ...planes, values: planes.values.map((value) => Math.max(0, value)) };
}

function layer_of(name: string): Layer {
  return layers.get(name) as Layer;
}

/** A layer with fewer inputs than there are channels looks at each channel by itself. */
function convolved(input: Planes, name: string, step: Step = {}): Planes {
  const { shape, weights, bias } = layer_of(name);
  const { down = 1, aside = 1, beyond = 0 } = step;
  const [out, into, , wide] = shape;
  const columns = Math.floor((input.columns + 2 * beyond - wide) / aside) + 1;
  const made = planes_of(out, columns, Math.ceil(input.rows / down));
  const [from, values] = [input.values, made.values];
  const each = weights.length / out;
  const channel = into < input.channels ? first_row(input, 1) - first_row(input, 0) : 0;
  for (let column = 0; column < columns; column++) {
    const sources = sources_of(input, shape, each, column * aside - beyond, step.reach);
    for (let o = 0; o < out; o++) {
      const to = first_row(made, o, column);
      values.fill(at(bias, o), to, to + made.rows);
      for (let k = 0; k < each; k += TOGETHER) {
        const a = at(sources, k) + o * channel;
        const b = at(sources, k + 1) + o * channel;
        const c = at(sources, k + 2) + o * channel;
        const d = at(sources, k + 3) + o * channel;
        const p = at(weights, o * each + k);
        const q = at(weights, o * each + k + 1);
        const r = at(weights, o * each + k + 2);
        const s = at(weights, o * each + k + 3);
        for (let row = 0, i = 0; row < made.rows; row++, i += down)
          (values[to + row] as number) +=
            p * (from[a + i] as number) +
            q * (from[b + i] as number) +
            r * (from[c + i] as number) +
            s * (from[d + i] as number);
      }
    }
  }
  return made;
}

/** Where each input of a layer's first output starts; those beyond the sides are the column of zeros. */
function sources_of(input: Planes, shape: Layer["shape"], count: number, left: number, reach = 1): Int32Array {
  const [, into, tall, wide] = shape;
  return Int32Array.from({ length: count }, (_, k) => {
    const column = left + (k % wide);
    if (column < 0 || column >= input.columns) return first_row(input, input.channels);
    if (k >= into * tall * wide) return first_row(input, 0);
    const up = (Math.floor(k / wide) % tall) - (tall >> 1);
    return first_row(input, Math.floor(k / (tall * wide)), column) + reach * up;
  });
}

/** Each channel also gets how far up the tube it is. */
function placed(input: Planes): Planes {
  const { bias } = layer_of("place");
  for (let channel = 0; channel < input.channels; channel++)
    rows_of(input, channel).forEach((value, row, rows) => {
      rows[row] = value + at(bias, channel) * ((2 * row) / (input.rows - 1) - 1);
    });
  return input;
}

/** The mean and the largest value of each channel. */
function summary(input: Planes): Planes {
  const made = planes_of(2 * input.channels, 1, 1);
  for (let channel = 0; channel < input.channels; channel++) {
    const rows = rows_of(input, channel);
    made.values[first_row(made, channel)] = rows.reduce((total, value) => total + value, 0) / input.rows;
    made.values[first_row(made, input.channels + channel)] = Math.max(...rows);
  }
  return made;
}
