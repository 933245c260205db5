import { FUEL_WATER_HALF_WIDTH } from "../../chemistry/components";
import { withUncertainty } from "../../i18n/format";

/** The water assumed in the fuel, `0.5 ± 0.5 %`: a typical amount, since the tube cannot tell it from ethanol. */
export function fuelWaterText(share: number): string {
  return withUncertainty(share, FUEL_WATER_HALF_WIDTH);
}
