// Small symmetric matrices: Cholesky factor, inverse, determinant.

export type Matrix = readonly (readonly number[])[];

/** The inverse of a positive definite matrix, and the logarithm of its determinant. */
export interface Inverted {
  readonly inverse: number[][];
  readonly log_determinant: number;
}

/** Return the inverse of a symmetric positive definite matrix, by its Cholesky factor. */
export function inverted(matrix: Matrix): Inverted {
  const factor = factor_of(matrix);
  const under = inverse_of_lower(factor);
  const size = matrix.length;
  const inverse = matrix.map(() => new Array<number>(size).fill(0));
  for (let i = 0; i < size; i++) {
    for (let j = 0; j <= i; j++) {
      let sum = 0;
      for (let k = i; k < size; k++) sum += at(under, k, i) * at(under, k, j);
      (inverse[i] as number[])[j] = sum;
      (inverse[j] as number[])[i] = sum;
    }
  }
  const log_determinant = 2 * factor.reduce((sum, row, i) => sum + Math.log(row[i] as number), 0);
  return { inverse, log_determinant };
}

/** Return a matrix times a vector. */
export function times(matrix: Matrix, vector: readonly number[]): number[] {
  return matrix.map((row) => dot(row, vector));
}

/** Return the sum of the products of two vectors. */
export function dot(a: readonly number[], b: readonly number[]): number {
  let total = 0;
  for (let k = 0; k < a.length; k++) total += (a[k] as number) * (b[k] as number);
  return total;
}

/** The Cholesky factor: lower triangular; times its transpose it gives the matrix. */
function factor_of(matrix: Matrix): number[][] {
  const factor: number[][] = [];
  matrix.forEach((row, i) => {
    const made: number[] = [];
    factor.push(made);
    for (let j = 0; j <= i; j++) {
      const other = factor[j] as number[];
      let left = row[j] as number;
      for (let k = 0; k < j; k++) left -= (made[k] as number) * (other[k] as number);
      made.push(i === j ? Math.sqrt(left) : left / (other[j] as number));
    }
  });
  return factor;
}

function inverse_of_lower(factor: Matrix): number[][] {
  const found = factor.map(() => new Array<number>(factor.length).fill(0));
  for (let column = 0; column < factor.length; column++) {
    for (let i = column; i < factor.length; i++) {
      let left = i === column ? 1 : 0;
      for (let k = column; k < i; k++) left -= at(factor, i, k) * at(found, k, column);
      (found[i] as number[])[column] = left / at(factor, i, i);
    }
  }
  return found;
}

function at(matrix: Matrix, i: number, j: number): number {
  return (matrix[i] as readonly number[])[j] as number;
}
