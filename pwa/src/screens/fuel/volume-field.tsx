/** A volume of fuel in the unit of the settings; stored in litres. */

import { fromVolume, toVolume, volumeUnit } from "../../i18n/format";
import { settings } from "../../state/signals";
import { NumberField } from "../../widgets/number-field";

export interface VolumeFieldProps {
  label: string;
  /** L */
  value: number | null;
  onValue: (litres: number | null) => void;
  /** L */
  most?: number;
  hint?: string;
  fault?: string | undefined;
}

const MOST_L = 2000;

export function VolumeField({ label, value, onValue, most = MOST_L, hint, fault }: VolumeFieldProps) {
  const units = settings.value;
  const shown = (litres: number) => Number(toVolume(litres, units).toFixed(2));
  return (
    <NumberField
      label={label}
      unit={volumeUnit(units)}
      value={value === null ? null : shown(value)}
      onValue={(next) => onValue(next === null ? null : fromVolume(next, units))}
      step={1}
      min={0}
      max={shown(most)}
      hint={hint}
      fault={fault}
    />
  );
}
