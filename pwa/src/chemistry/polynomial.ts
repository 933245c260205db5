// Polynomials by Horner's rule, with the same order of operations in both languages.

/** Return the sum of coefficients[k] * x**k. */
export function polynomial(coefficients: readonly number[], x: number): number {
  let total = 0;
  for (let k = coefficients.length - 1; k >= 0; k--) total = total * x + (coefficients[k] as number);
  return total;
}

/** Return the coefficients of the polynomial's first derivative. */
export function derivative(coefficients: readonly number[]): number[] {
  return coefficients.slice(1).map((coefficient, k) => (k + 1) * coefficient);
}
