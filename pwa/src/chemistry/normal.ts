// The normal distribution, written out so that both languages compute the same digits. Counterpart of chemistry/normal.py.

/** Return the probability that a standard normal value is at most z (Marsaglia's series). */
export function normal_below(z: number): number {
  if (z < -8) return 0;
  if (z > 8) return 1;
  let term = z;
  let total = z;
  let divisor = 1;
  while (Math.abs(term) > 1e-18) {
    divisor += 2;
    term *= (z * z) / divisor;
    total += term;
  }
  return 0.5 + (total * Math.exp((-z * z) / 2)) / Math.sqrt(2 * Math.PI);
}
