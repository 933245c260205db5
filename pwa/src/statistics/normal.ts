// The normal distribution, written out so that Python and TypeScript give the same digits.
// Counterpart of statistics/normal.py.

const P = 0.2316419;
const B = [0.31938153, -0.356563782, 1.781477937, -1.821255978, 1.330274429] as const;
const DENSITY = 0.3989422804014327;

/** Return the probability of a value at or below `deviation`, and its density, for a standard spread > 0. */
export function distribution_and_density(deviation: number, spread: number): [number, number] {
  const z = deviation / spread;
  const density = DENSITY * Math.exp(-0.5 * z * z);
  const t = 1 / (1 + P * Math.abs(z));
  const beyond = density * t * (B[0] + t * (B[1] + t * (B[2] + t * (B[3] + t * B[4]))));
  return [z > 0 ? 1 - beyond : beyond, density / spread];
}

/** Return the quantile of the standard normal distribution, for probabilities 0.001..0.999, by bisection. */
export function quantile(probability: number): number {
  let [low, high] = [-8, 8];
  for (let turn = 0; turn < 60; turn++) {
    const middle = (low + high) / 2;
    if (distribution_and_density(middle, 1)[0] < probability) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
