// Density of ethanol-water mixtures by the international formula (OIML R 22). Counterpart of chemistry/density.py.
import formula from "@constants/chemistry/density.json";
import { derivative, polynomial } from "./polynomial";

export const COLDEST = -20;
export const WARMEST = 40;

// One polynomial in p for each power of (t - 20): A, then B_i + p * C_i, then B_6 alone.
const LEVELS: readonly (readonly number[])[] = [formula.a, ...formula.b.map((b, i) => [b, ...(formula.c[i] ?? [])])];
const SLOPES = LEVELS.map(derivative);

/** Return the density in kg/m3 in vacuo; mass_fraction 0..1, temperature -20..40 degrees Celsius. */
export function density(mass_fraction: number, temperature: number): number {
  return polynomial(at_fraction(LEVELS, mass_fraction), temperature - 20);
}

/** Return the partial derivative of the density by mass fraction, kg/m3. */
export function density_by_fraction(mass_fraction: number, temperature: number): number {
  return polynomial(at_fraction(SLOPES, mass_fraction), temperature - 20);
}

/** Return the partial derivative of the density by temperature, kg/m3 per degree. */
export function density_by_temperature(mass_fraction: number, temperature: number): number {
  return polynomial(derivative(at_fraction(LEVELS, mass_fraction)), temperature - 20);
}

function at_fraction(levels: readonly (readonly number[])[], mass_fraction: number): number[] {
  return levels.map((level) => polynomial(level, mass_fraction));
}
