/** The tube, its temperature, and the water that is already in the fuel. */

import { useEffect, useRef, useState } from "preact/hooks";
import { fromTemperature, percent, temperatureUnit, toTemperature } from "../../format";
import { labels } from "../../labels";
import { settings } from "../../live";
import { bring, bringFault } from "../../parts/bring";
import { ChoiceRow } from "../../parts/choice-row";
import { NumberField } from "../../parts/number-field";
import { to } from "../../router";
import type { TubeRow } from "../../store/schema";
import { saveSettings } from "../../store/settings";
import { listTests } from "../../store/tests";
import { addTube, type TubeEntry } from "../../store/tubes";
import { useStored } from "../../use";
import type { StageBodyProps } from "./source-stage";
import { TubeForm } from "./tube-form";

/** Range of the density formula, °C. */
const COLDEST = -20;
const WARMEST = 40;
/** °C, offered when there is no earlier test. */
const USUAL = 15;
/** Settling takes longer in brine, minutes. */
const BRINE_MINUTES = 15;

export interface TubeStageProps extends StageBodyProps {
  tubes: readonly TubeRow[];
}

export function TubeStage({ draft, change, goOn, tubes }: TubeStageProps) {
  const words = labels.test.tube;
  const [adding, setAdding] = useState(false);
  const [tried, setTried] = useState(false);
  const [added, setAdded] = useState(false);
  const box = useRef<HTMLDivElement>(null);
  const usable = tubes.filter((tube) => !tube.put_away || tube.id === draft.tube);
  const isForm = adding || usable.length === 0;
  // The form was longer than what stands there now: whoever filled it in is to see what comes next.
  useEffect(() => {
    if (added && !isForm) bring(box.current?.closest(".stage"));
  }, [added, isForm]);

  const choose = (tube: TubeRow) => {
    const minutes = tube.liquid === "brine" ? BRINE_MINUTES : settings.value.settle_minutes;
    change({ tube: tube.id, settle_minutes: Math.max(minutes, settings.value.settle_minutes) });
    void saveSettings({ tube: tube.id });
  };
  if (isForm) {
    const keep = async (entry: TubeEntry) => {
      choose(await addTube(entry, new Date()));
      setAdding(false);
      setAdded(true);
    };
    return (
      <>
        {usable.length === 0 && <p>{words.addFirst}</p>}
        <TubeForm
          row={null}
          onSave={(entry) => void keep(entry)}
          onBack={usable.length > 0 ? () => setAdding(false) : undefined}
        />
      </>
    );
  }
  return (
    <>
      <div class="field">
        <ChoiceRow
          tall
          legend={words.ask}
          value={draft.tube}
          onValue={(id) => {
            const tube = usable.find((one) => one.id === id);
            if (tube) choose(tube);
          }}
          options={usable.map((tube) => ({
            value: tube.id,
            label: tube.name,
            hint: labels.test.tubeForm.scale[tube.scale].label,
          }))}
        />
        <div class="buttons">
          <button
            type="button"
            onClick={() => {
              setAdding(true);
              setAdded(false);
            }}
          >
            {words.add}
          </button>
          {draft.tube !== null && (
            <a class="button" href={to("tubes", draft.tube)}>
              {words.known}
            </a>
          )}
        </div>
      </div>
      <div ref={box} class="form">
        <Temperature draft={draft} change={change} missing={tried && draft.temperature === null} />
      </div>
      <details class="more">
        <summary>{words.fuelWaterNow(percent(draft.fuel_water))}</summary>
        <NumberField
          label={words.fuelWater}
          unit="%"
          value={draft.fuel_water}
          onValue={(value) => change({ fuel_water: value ?? settings.value.fuel_water })}
          step={0.1}
          min={0}
          max={10}
          hint={words.fuelWaterHint}
        />
      </details>
      <button
        type="button"
        class="main"
        onClick={() => {
          setTried(true);
          if (draft.temperature === null) bringFault(box.current);
          else if (draft.tube !== null) goOn();
        }}
      >
        {labels.test.goOn}
      </button>
    </>
  );
}

type TemperatureProps = Pick<StageBodyProps, "draft" | "change"> & { missing: boolean };

function Temperature({ draft, change, missing }: TemperatureProps) {
  const words = labels.test.tube;
  const last = useStored(() => listTests({ limit: 1 }), ["own_tests"]);
  const units = settings.value;
  const earlier = last?.lines[0]?.row.test.temperature ?? USUAL;
  const shown = (celsius: number) => Number(toTemperature(celsius, units).toFixed(1));
  return (
    <>
      <NumberField
        label={words.temperature}
        unit={temperatureUnit(units)}
        value={draft.temperature === null ? null : shown(draft.temperature)}
        onValue={(value) => change({ temperature: value === null ? null : fromTemperature(value, units) })}
        step={1}
        min={shown(COLDEST)}
        max={shown(WARMEST)}
        offered={shown(earlier)}
        fault={missing ? words.temperatureFault : undefined}
      />
      <ChoiceRow
        legend={words.temperatureHow}
        value={draft.temperature_measured ? "measured" : "guessed"}
        onValue={(how) => change({ temperature_measured: how === "measured" })}
        options={[
          { value: "measured", label: words.measured },
          { value: "guessed", label: words.guessed },
        ]}
        hint={draft.temperature_measured ? words.measuredHint : words.guessedHint}
      />
    </>
  );
}
