// Properties of a blend that an engine's tune depends on, from its ethanol content. Counterpart of chemistry/fuels.py.
import data from "@constants/chemistry/fuels.json";

const { ethanol: ETHANOL, gasoline: GASOLINE, water_density_60f: WATER_DENSITY } = data;
export const GASOLINE_GRAVITY = GASOLINE.specific_gravity;
export const JOULES_PER_BTU = 1055.05585262;
export const LITRES_PER_GALLON = 3.785411784;

/** A value with its expanded uncertainty (95 %), both in the same unit. */
export interface Figure {
  readonly value: number;
  readonly expanded_uncertainty: number;
}

/** Properties of a blend at 60 F: kg/kg, kg/L, MJ/L, Btu/US gal, and volume flow relative to gasoline. */
export interface EngineFigures {
  readonly stoichiometric_ratio: Figure;
  readonly density: Figure;
  readonly heating_value: Figure;
  readonly heating_value_per_gallon: Figure;
  readonly flow_ratio: Figure;
}

/** Return the specific gravity 60/60 F of a blend; content in % (V/V), gasoline: its specific gravity. */
export function specific_gravity(content: number, gasoline: number = GASOLINE_GRAVITY): number {
  const share = content / 100;
  return share * ETHANOL.specific_gravity + (1 - share) * gasoline;
}

/** Return kg of air per kg of fuel for complete combustion. */
export function stoichiometric_ratio(content: number, gasoline: number = GASOLINE_GRAVITY): number {
  return air_per_litre(content, gasoline) / specific_gravity(content, gasoline);
}

/** Return the density at 60 F in kg/L. */
export function density(content: number, gasoline: number = GASOLINE_GRAVITY): number {
  return specific_gravity(content, gasoline) * WATER_DENSITY;
}

/** Return the lower heating value in Btu per US gallon, by volume. */
export function heating_value_per_gallon(content: number): number {
  const share = content / 100;
  return share * ETHANOL.heating_value_btu_per_gallon + (1 - share) * GASOLINE.heating_value_btu_per_gallon;
}

/** Return the lower heating value in MJ/L. */
export function heating_value(content: number): number {
  return (heating_value_per_gallon(content) * JOULES_PER_BTU) / LITRES_PER_GALLON / 1e6;
}

/** Return the fuel volume relative to pure gasoline for the same air at the same lambda. */
export function flow_ratio(content: number, gasoline: number = GASOLINE_GRAVITY): number {
  return air_per_litre(0, gasoline) / air_per_litre(content, gasoline);
}

/** Return all properties with their uncertainty, from the content's and from the gasoline's unknown density. */
export function engine_figures(content: number, expanded_uncertainty: number): EngineFigures {
  return {
    stoichiometric_ratio: figure(stoichiometric_ratio, content, expanded_uncertainty),
    density: figure(density, content, expanded_uncertainty),
    heating_value: figure(heating_value, content, expanded_uncertainty),
    heating_value_per_gallon: figure(heating_value_per_gallon, content, expanded_uncertainty),
    flow_ratio: figure(flow_ratio, content, expanded_uncertainty),
  };
}

function air_per_litre(content: number, gasoline: number): number {
  const share = content / 100;
  return (
    share * ETHANOL.specific_gravity * ETHANOL.stoichiometric_ratio +
    (1 - share) * gasoline * GASOLINE.stoichiometric_ratio
  );
}

function figure(
  of: (content: number, gasoline: number) => number,
  content: number,
  expanded_uncertainty: number,
): Figure {
  const by_content = (of(content + 0.5, GASOLINE_GRAVITY) - of(content - 0.5, GASOLINE_GRAVITY)) * expanded_uncertainty;
  const low = GASOLINE_GRAVITY - GASOLINE.specific_gravity_half_width;
  const high = GASOLINE_GRAVITY + GASOLINE.specific_gravity_half_width;
  const by_gravity = (of(content, high) - of(content, low)) / Math.sqrt(3);
  return { value: of(content, GASOLINE_GRAVITY), expanded_uncertainty: Math.sqrt(by_content ** 2 + by_gravity ** 2) };
}
