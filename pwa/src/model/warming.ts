/**
 * How warm mixing leaves a tube, and by how much a line reads too high while warm.
 *
 * The rise is `temperature_rise_on_mixing` of fixtures/published/extraction_equilibrium.json, less the 12 % that a 60 g
 * glass takes; between its contents and fillings it is linear. The tube then cools to the air as exp(-t/tau). tau is
 * computed, no source: 50 mL of water and 50 mL of fuel hold 300 J/K and 60 g of glass 50 J/K; a tube 3 cm wide filled
 * 17 cm high gives off heat through 0.017 m2 at about 12 W/(m2 K), usual for still air and radiation; that makes 350 /
 * (0.017 * 12) s, about 30 min. Heat grows with the volume, area with its power 2/3, so tau with its cube root. The air
 * is assumed to be as warm as the water was: supplies at the pump have the air's temperature. Wind and sun are unknown:
 * the estimate is as uncertain as a guess (TEMPERATURE_GUESSED, 2 K).
 */

import table from "@constants/chemistry/warming.json";
import { TEMPERATURE_GUESSED } from "../chemistry/components";
import { NORMAL } from "../chemistry/coverage";
import { content_of_line, line_of_content, type Temperatures } from "../chemistry/extraction";
import { interpolated } from "../chemistry/interpolation";

/** What was mixed: mL, °C when filled, % (V/V). */
export interface Mixture {
  water: number;
  fuel: number;
  water_temperature: number;
  fuel_temperature: number;
  content: number;
}

/** The state of a tube: K above the air, and points by which a line read at the filling's temperature is too high. */
export interface Warmth {
  above: number;
  now: number;
  later: number;
  /** Expanded uncertainty (95 %) of `above` in K, and of `now` and `later` in points. */
  above_uncertainty: number;
  points_uncertainty: number;
}

/** The content assumed before the line is read, %: between 50 and 98 % the rise differs by half a kelvin. */
export const USUAL_CONTENT = 85;
/** Minutes from `now` to `later`. */
export const LATER = 10;
/** K; a smaller difference does not matter. */
const SHOWS = 1;
/** °C, the upper limit of the density formula. */
const WARMEST = 40;

/** How much mixing heats a tube, K. content: %; share: of fuel in the filling, 0..1. */
export function riseOnMixing(content: number, share: number): number {
  const { contents_percent, fuel_shares, adiabatic_k, taken_by_glass } = table;
  const rows = adiabatic_k.map((row) => interpolated(contents_percent, row, content));
  return (1 - taken_by_glass) * interpolated(fuel_shares, rows, share);
}

/** Minutes until the temperature difference of a tube of this many mL to the air falls to 1/e. */
export function minutesToCool(volume: number): number {
  return table.minutes_to_cool_100_ml * Math.cbrt(volume / 100);
}

/** The likely temperature of a tube some minutes after mixing, °C, at most 40. */
export function likelyTemperature(mixture: Mixture, minutes: number): number {
  return Math.min(mixture.water_temperature + above(mixture, minutes), WARMEST);
}

/** The state of a tube some minutes after mixing; null once it is less than 1 K above the air. */
export function warmthOf(mixture: Mixture, minutes: number): Warmth | null {
  const warm = above(mixture, minutes);
  if (warm <= SHOWS) return null;
  const later = above(mixture, minutes + LATER);
  const half = NORMAL * TEMPERATURE_GUESSED;
  return {
    above: warm,
    now: pointsTooHigh(mixture, warm),
    later: pointsTooHigh(mixture, later),
    above_uncertainty: half,
    points_uncertainty: pointsTooHigh(mixture, half),
  };
}

/** Points by which the content is too high if a tube this many K warmer than the water is assumed to be as cold. */
export function pointsTooHigh({ water, fuel, content, ...filled }: Mixture, kelvin: number): number {
  const cold = { water: filled.water_temperature, fuel: filled.fuel_temperature, read: filled.water_temperature };
  const line = line_of_content(content, water, fuel, cold.water, 0);
  const read = (temperatures: Temperatures) => content_of_line(line, water, fuel, temperatures, 0);
  return read(cold) - read({ ...cold, read: Math.min(cold.read + kelvin, WARMEST) });
}

/** K above the air. */
function above({ water, fuel, water_temperature, fuel_temperature, content }: Mixture, minutes: number): number {
  const { water: ofWater, fuel: ofFuel } = table.heat_j_per_ml_k;
  const brought = (ofFuel * fuel * (fuel_temperature - water_temperature)) / (ofFuel * fuel + ofWater * water);
  const start = brought + riseOnMixing(content, fuel / (water + fuel));
  return start * Math.exp(-Math.max(minutes, 0) / minutesToCool(water + fuel));
}
