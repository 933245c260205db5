// From standard uncertainties to a 95 % interval. Counterpart of chemistry/coverage.py.
import student from "@constants/chemistry/student.json";

export const NORMAL = 1.959964;
const STUDENT: readonly (readonly [number, number])[] = [
  ...student.t95.map(([freedom, t]): [number, number] => [1 / (freedom as number), t as number]),
  [0, NORMAL],
];

/** Excess kurtosis of each shape a component can have. */
export const TWO_POINTS = -2;
export const RECTANGULAR = -1.2;
export const TRIANGULAR = -0.6;
export const GAUSSIAN = 0;
const OF_RECTANGULAR = 0.95 * Math.sqrt(3);
const ONE_SIDED = 1.644854;

/** One independent part of a result: its standard uncertainty, excess kurtosis and degrees of freedom. */
export interface Part {
  readonly uncertainty: number;
  readonly kurtosis: number;
  readonly freedom: number;
}

/** Return k so that k times the combined standard uncertainty covers 95 % (JCGM 100, G.4.1, and the parts' shapes). */
export function coverage_factor(parts: readonly Part[]): number {
  const known = parts.filter((part) => part.uncertainty > 0);
  const variance = known.reduce((sum, part) => sum + part.uncertainty ** 2, 0);
  if (variance === 0) return NORMAL;
  const kurtosis = known.reduce((sum, part) => sum + part.kurtosis * part.uncertainty ** 4, 0) / variance ** 2;
  const spread = known.reduce((sum, part) => sum + part.uncertainty ** 4 / part.freedom, 0);
  const freedom = spread > 0 ? variance ** 2 / spread : Number.POSITIVE_INFINITY;
  return (shape_factor(kurtosis) * student_factor(freedom)) / NORMAL;
}

/** Return the half-width that covers 95 % of a symmetric distribution with unit variance; kurtosis -2..0. */
export function shape_factor(kurtosis: number): number {
  if (kurtosis < RECTANGULAR) {
    const points = Math.sqrt(Math.min(kurtosis / TWO_POINTS, 1));
    return Math.min(Math.sqrt(points) + ONE_SIDED * Math.sqrt(1 - points), OF_RECTANGULAR);
  }
  return NORMAL + kurtosis * (0.0687179 + kurtosis * (0.0668928 + kurtosis * 0.1900347));
}

/** Return Student's t for 95 % and `freedom` >= 1, interpolated in 1/freedom between rows of JCGM 100, table G.2. */
export function student_factor(freedom: number): number {
  const reciprocal = 1 / Math.max(freedom, 1);
  for (let k = 1; k < STUDENT.length; k++) {
    const [start, above] = STUDENT[k - 1] as readonly [number, number];
    const [end, below] = STUDENT[k] as readonly [number, number];
    if (reciprocal >= end) return below + ((above - below) * (reciprocal - end)) / (start - end);
  }
  return NORMAL;
}
