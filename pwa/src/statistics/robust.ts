// Robust centre and spread: a few outliers hardly move them. Counterpart of statistics/robust.py.

export const MAD_TO_SD = 1.4826;
export const HUBER_K = 1.5;
export const MIDDLE = [0.4, 0.6] as const;

/** Return the quantile by linear interpolation between order statistics (type 7 of Hyndman and Fan 1996). */
export function quantile(values: readonly number[], probability: number): number {
  const ordered = [...values].sort((a, b) => a - b);
  const position = (ordered.length - 1) * probability;
  const below = Math.floor(position);
  const above = Math.min(below + 1, ordered.length - 1);
  const low = ordered[below] as number;
  return low + ((ordered[above] as number) - low) * (position - below);
}

/** Return the middle value, or the mean of the two middle ones. */
export function median(values: readonly number[]): number {
  return quantile(values, 0.5);
}

/** Return the mean of the values between 40 and 60 % of the cumulative weight; robust.py explains why. */
export function weighted_middle(values: readonly number[], weights: readonly number[]): number {
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const [low, high] = [MIDDLE[0] * total, MIDDLE[1] * total];
  const order = values.map((_, k) => k).sort((a, b) => (values[a] as number) - (values[b] as number));
  let found = 0;
  let upto = 0;
  for (const k of order) {
    const next = upto + (weights[k] as number);
    found += Math.max(0, Math.min(next, high) - Math.max(upto, low)) * (values[k] as number);
    upto = next;
  }
  return found / (high - low);
}

/** Return the median absolute deviation from the median, scaled to a standard deviation. */
export function mad_spread(values: readonly number[]): number {
  const centre = median(values);
  return MAD_TO_SD * median(values.map((value) => Math.abs(value - centre)));
}

/** Return Huber's M-estimate of the centre (k = 1.5) and the MAD spread it was scaled by. */
export function huber(values: readonly number[]): [centre: number, spread: number] {
  let centre = median(values);
  const spread = mad_spread(values);
  if (spread === 0) return [centre, 0];
  for (let turn = 0; turn < 1000; turn++) {
    const low = centre - HUBER_K * spread;
    const high = centre + HUBER_K * spread;
    let total = 0;
    for (const value of values) total += Math.min(Math.max(value, low), high);
    const following = total / values.length;
    if (Math.abs(following - centre) < 1e-12 * spread) return [following, spread];
    centre = following;
  }
  return [centre, spread];
}
