/** The temperatures of water and fuel when filled; the fuel's is optional. */

import { FILLED_GUESSED } from "../../chemistry/components";
import { NORMAL } from "../../chemistry/coverage";
import { labels } from "../../i18n";
import { fromTemperature, temperatureSpan, temperatureUnit, toTemperature } from "../../i18n/format";
import { useStored } from "../../state/hooks";
import { settings } from "../../state/signals";
import { listTests } from "../../store/tests";
import { ChoiceRow } from "../../widgets/choice-row";
import { NumberField, type NumberFieldProps } from "../../widgets/number-field";
import type { StageBodyProps } from "./source-stage";

/** Range of the density formula, °C. */
const COLDEST = -20;
const WARMEST = 40;
/** °C, suggested if there is no earlier test. */
const USUAL = 15;

export type FillTemperaturesProps = Pick<StageBodyProps, "draft" | "change"> & { missing: boolean };

export function FillTemperatures(props: FillTemperaturesProps) {
  // On a sheet of an earlier version everything had the tube's temperature.
  const isOld = props.draft.temperature !== null;
  return (
    <>
      <Water {...props} isOld={isOld} />
      {!isOld && <Fuel {...props} />}
    </>
  );
}

function Water({ draft, change, missing, isOld }: FillTemperaturesProps & { isOld: boolean }) {
  const words = labels.test.tube;
  const last = useStored(() => listTests({ limit: 1 }), ["own_tests"])?.lines[0]?.row.test;
  const isMeasured = (isOld ? draft.temperature_measured : draft.water_temperature_measured) ?? false;
  return (
    <>
      <Degrees
        label={words.waterTemperature}
        value={draft.water_temperature ?? draft.temperature}
        onValue={(degrees) =>
          change({ water_temperature: degrees, water_temperature_measured: isMeasured, temperature: null })
        }
        offered={last?.water_temperature ?? last?.temperature ?? USUAL}
        fault={missing ? words.temperatureFault : undefined}
      />
      <How
        legend={words.temperatureHow}
        measured={isMeasured}
        onMeasured={(measured) => change({ temperature_measured: measured, water_temperature_measured: measured })}
        hint={isMeasured ? words.measuredHint : words.guessedHint}
      />
    </>
  );
}

function Fuel({ draft, change }: FillTemperaturesProps) {
  const words = labels.test.tube;
  const fuel = draft.fuel_temperature ?? null;
  return (
    <>
      <Degrees
        label={words.fuelTemperature}
        value={fuel}
        onValue={(fuel_temperature) => change({ fuel_temperature })}
        offered={draft.water_temperature ?? USUAL}
        hint={words.fuelTemperatureHint(temperatureSpan(NORMAL * FILLED_GUESSED, settings.value))}
      />
      {fuel !== null && (
        <How
          legend={words.fuelTemperatureHow}
          measured={draft.fuel_temperature_measured ?? false}
          onMeasured={(fuel_temperature_measured) => change({ fuel_temperature_measured })}
        />
      )}
    </>
  );
}

/** A temperature in the unit of the settings; value, offered: °C. */
export function Degrees(
  props: Pick<NumberFieldProps, "label" | "value" | "onValue" | "offered" | "hint" | "fault" | "onEnter">,
) {
  const { value, onValue, offered = null, ...rest } = props;
  const units = settings.value;
  const shown = (celsius: number) => Number(toTemperature(celsius, units).toFixed(1));
  return (
    <NumberField
      {...rest}
      unit={temperatureUnit(units)}
      value={value === null ? null : shown(value)}
      onValue={(next) => onValue(next === null ? null : fromTemperature(next, units))}
      step={1}
      min={shown(COLDEST)}
      max={shown(WARMEST)}
      offered={offered === null ? null : shown(offered)}
    />
  );
}

interface HowProps {
  legend: string;
  measured: boolean;
  onMeasured: (measured: boolean) => void;
  hint?: string;
}

function How({ legend, measured, onMeasured, hint }: HowProps) {
  const words = labels.test.tube;
  return (
    <ChoiceRow
      legend={legend}
      value={measured ? "measured" : "guessed"}
      onValue={(how) => onMeasured(how === "measured")}
      options={[
        { value: "measured", label: words.measured },
        { value: "guessed", label: words.guessed },
      ]}
      hint={hint}
    />
  );
}
