// Student's t with 4 degrees of freedom. Twin of statistics/student.py.

/** A t4 with this scale is centred on the same spread as a normal distribution of standard deviation 1. */
export const SCALE = 0.8310034937777916;

/** Return the log density, up to a constant, of a deviation whose standard spread is `spread`. */
export function log_density(deviation: number, spread: number): number {
  const scale = SCALE * spread;
  return -Math.log(scale) - 2.5 * Math.log1p((deviation / scale) ** 2 / 4);
}

/** Return the probability of a value at or below `deviation` for a standard spread `spread` > 0. */
export function distribution(deviation: number, spread: number): number {
  const t = deviation / (SCALE * spread);
  const ratio = t / Math.sqrt(1 + (t * t) / 4);
  return 0.5 + 0.375 * ratio * (1 - (ratio * ratio) / 12);
}
