// Operations on a series of values that the search for the printed scale and the parting line needs.

export type Values = Float64Array;

/** The middle value, or the mean of the two in the middle. */
export function median(values: Values): number {
  const sorted = values.slice().sort();
  const middle = sorted.length >> 1;
  return sorted.length % 2 === 1 ? at(sorted, middle) : (at(sorted, middle - 1) + at(sorted, middle)) / 2;
}

/** The running median: the median of every `size` consecutive values, by a sorted window that moves by one value. */
export function running_median(values: Values, size: number): Values {
  const window = values.slice(0, size).sort();
  const found = new Float64Array(values.length - size + 1);
  for (let i = 0; ; i++) {
    found[i] = (at(window, (size - 1) >> 1) + at(window, size >> 1)) / 2;
    if (i + size >= values.length) return found;
    exchange(window, at(values, i), at(values, i + size));
  }
}

/** Replace one value of a sorted window. */
function exchange(window: Values, out: number, into: number): void {
  let i = window.indexOf(out);
  for (; i + 1 < window.length && at(window, i + 1) < into; i++) window[i] = at(window, i + 1);
  for (; i > 0 && at(window, i - 1) > into; i--) window[i] = at(window, i - 1);
  window[i] = into;
}

/** Values extended at both ends by their first and last value. */
export function extended(values: Values, by: number): Values {
  const last = values.length - 1;
  return Float64Array.from({ length: values.length + 2 * by }, (_, i) => at(values, clamped(i - by, 0, last)));
}

/** The largest within `reach` on both sides of every value. */
export function largest_near(values: Values, reach: number): Values {
  const wider = extended(values, reach);
  return values.map((_, i) => Math.max(...wider.subarray(i, i + 2 * reach + 1)));
}

export function first_largest(values: Values): number {
  return values.reduce((best, value, i) => (value > at(values, best) ? i : best), 0);
}

/** The value between two samples; constant beyond the ends. */
export function interpolated(values: Values, place: number): number {
  const inside = clamped(place, 0, values.length - 1);
  const low = Math.min(Math.floor(inside), values.length - 2);
  return at(values, low) + (inside - low) * (at(values, low + 1) - at(values, low));
}

export function clamped(value: number, low: number, high: number): number {
  return Math.min(Math.max(value, low), high);
}

/** An element that must exist. */
export function at<T>(values: ArrayLike<T>, index: number): T {
  return values[index] as T;
}
