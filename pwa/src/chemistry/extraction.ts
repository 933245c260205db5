// What happens in the tube: ethanol moves from the fuel into the water, and both shrink on mixing.
// Counterpart of chemistry/extraction.py, which explains the equation. Contents and fuel water in %, volumes in mL.
import { density, density_by_fraction, density_by_temperature } from "./density";

const LOWEST = -0.3;
const HIGHEST = 1.4;

/** The water and the fuel when filled, and the tube when read: degrees Celsius, -20..40. */
export interface Temperatures {
  readonly water: number;
  readonly fuel: number;
  readonly read: number;
}

/** How the content, in %, responds to each input: % per mL, per mL, per mL, per % and per degree. */
export interface Sensitivities {
  readonly line: number;
  readonly water: number;
  readonly fuel: number;
  readonly fuel_water: number;
  readonly temperature: number;
  readonly water_temperature: number;
  readonly fuel_temperature: number;
}

/** Return the same temperature for all three. */
export function all_at(temperature: number): Temperatures {
  return { water: temperature, fuel: temperature, read: temperature };
}

/** Return the volume of the lower layer in mL for a content in %. */
export function line_of_content(
  content: number,
  water: number,
  fuel: number,
  temperature: number,
  fuel_water: number,
): number {
  return line_of(content / 100, water, fuel, all_at(temperature), fuel_water / 100);
}

/** Return the ethanol content in % (V/V) for a parting line at `line` mL. */
export function content_of_line(
  line: number,
  water: number,
  fuel: number,
  temperature: number | Temperatures,
  fuel_water: number,
): number {
  const temperatures = typeof temperature === "number" ? all_at(temperature) : temperature;
  let low = LOWEST;
  let high = HIGHEST;
  let ethanol = Math.min(Math.max((line - water) / fuel, low), high);
  for (let turn = 0; turn < 100; turn++) {
    const excess = line_of(ethanol, water, fuel, temperatures, fuel_water / 100) - line;
    if (excess > 0) high = ethanol;
    else low = ethanol;
    const slopes = slopes_at(Math.max(ethanol, 0), water, fuel, temperatures, fuel_water / 100);
    let following = ethanol - excess / slopes.ethanol;
    if (!(low <= following && following <= high)) following = (low + high) / 2;
    if (Math.abs(following - ethanol) < 1e-12) return 100 * following;
    ethanol = following;
  }
  return 100 * ethanol;
}

/** Return the mass fraction of ethanol in the lower layer, 0..1. */
export function strength(
  content: number,
  water: number,
  fuel: number,
  temperatures: Temperatures,
  fuel_water: number,
): number {
  const [mass, mass_ethanol] = masses(Math.max(content, 0) / 100, water, fuel, temperatures, fuel_water / 100);
  return mass_ethanol / mass;
}

/** Return how the content from a line responds to each input, by implicit differentiation (JCGM 100, 5.1). */
export function sensitivities(
  content: number,
  water: number,
  fuel: number,
  temperatures: Temperatures,
  fuel_water: number,
): Sensitivities {
  const slopes = slopes_at(Math.max(content, 0) / 100, water, fuel, temperatures, fuel_water / 100);
  const per_line = 100 / slopes.ethanol;
  return {
    line: per_line,
    water: -per_line * slopes.water,
    fuel: -per_line * slopes.fuel,
    fuel_water: (-per_line * slopes.fuel_water) / 100,
    temperature: -per_line * slopes.temperature,
    water_temperature: -per_line * slopes.water_temperature,
    fuel_temperature: -per_line * slopes.fuel_temperature,
  };
}

/** Return the content in % from the fuel layer that remains: what is missing from it has moved into the water. */
export function content_of_top(line: number, top: number, fuel: number): number {
  return 100 * (1 - (top - line) / fuel);
}

/** Return the content in % by ABNT NBR 13992:1997, section 6, for 10 % (m/V) sodium chloride solution. */
export function brine_content(line: number, water: number, fuel: number): number {
  const rise = (100 * (line - water)) / fuel;
  return rise < 1 ? 1 : rise + 1;
}

/** Return the line in mL that `brine_content` turns into `content` (above 2 %). */
export function brine_line(content: number, water: number, fuel: number): number {
  return water + (fuel * (content - 1)) / 100;
}

/** The line's partial derivatives, mL per unit of each input, for ethanol >= 0 and fuel_water as fractions of the fuel. */
function slopes_at(
  ethanol: number,
  water: number,
  fuel: number,
  temperatures: Temperatures,
  fuel_water: number,
): Omit<Sensitivities, "line"> & { readonly ethanol: number } {
  const [mass, mass_ethanol] = masses(ethanol, water, fuel, temperatures, fuel_water);
  const fraction = mass_ethanol / mass;
  const rho = density(fraction, temperatures.read);
  const bend = density_by_fraction(fraction, temperatures.read) / (rho * rho);
  const per_ethanol = 1 / rho - bend * (1 - fraction);
  const per_water = 1 / rho + bend * fraction;
  const rho_ethanol = density(1, temperatures.fuel);
  const rho_fuel_water = density(0, temperatures.fuel);
  return {
    ethanol: per_ethanol * fuel * rho_ethanol,
    water: per_water * density(0, temperatures.water),
    fuel: per_water * fuel_water * rho_fuel_water + per_ethanol * ethanol * rho_ethanol,
    fuel_water: per_water * fuel * rho_fuel_water,
    temperature: (-mass * density_by_temperature(fraction, temperatures.read)) / (rho * rho),
    water_temperature: per_water * water * density_by_temperature(0, temperatures.water),
    fuel_temperature:
      fuel *
      (per_water * fuel_water * density_by_temperature(0, temperatures.fuel) +
        per_ethanol * ethanol * density_by_temperature(1, temperatures.fuel)),
  };
}

/** The line; extended as a straight line below 0, where only the noise of a reading leads. */
function line_of(ethanol: number, water: number, fuel: number, temperatures: Temperatures, fuel_water: number): number {
  const [mass, mass_ethanol] = masses(Math.max(ethanol, 0), water, fuel, temperatures, fuel_water);
  const line = mass / density(mass_ethanol / mass, temperatures.read);
  if (ethanol >= 0) return line;
  return line + slopes_at(0, water, fuel, temperatures, fuel_water).ethanol * ethanol;
}

/** The mass of the lower layer, and of the ethanol in it, mg. */
function masses(
  ethanol: number,
  water: number,
  fuel: number,
  temperatures: Temperatures,
  fuel_water: number,
): [mass: number, mass_ethanol: number] {
  const mass_ethanol = ethanol * fuel * density(1, temperatures.fuel);
  const mass_water = water * density(0, temperatures.water) + fuel_water * fuel * density(0, temperatures.fuel);
  return [mass_water + mass_ethanol, mass_ethanol];
}
