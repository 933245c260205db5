/** The tube, the temperatures of the liquids, and the water already in the fuel. */

import { useEffect, useRef, useState } from "preact/hooks";
import { labels } from "../../i18n";
import { hasTemperature } from "../../model/progress";
import type { TubeRow } from "../../rows/tube";
import { to } from "../../state/router";
import { settings } from "../../state/signals";
import { saveSettings } from "../../store/settings";
import { addTube, type TubeEntry } from "../../store/tubes";
import { bring, bringFault } from "../../widgets/bring";
import { ChoiceRow } from "../../widgets/choice-row";
import { lazy } from "../../widgets/lazy";
import { NumberField } from "../../widgets/number-field";
import { fuelWaterText } from "../shared/fuel-water";
import type { TubeFormProps } from "../shared/tube-form";
import { FillTemperatures } from "./fill-temperatures";
import type { StageBodyProps } from "./source-stage";

/** Only people describing a tube need this code. */
const TubeForm = lazy<TubeFormProps>(() => import("../shared/tube-form"));

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
  const isMissing = !hasTemperature(draft);
  const isForm = adding || usable.length === 0;
  // The form was longer than what replaces it: scroll to what comes next.
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
            hint: labels.scales[tube.scale].label,
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
        <FillTemperatures draft={draft} change={change} missing={tried && isMissing} />
      </div>
      <details class="more">
        <summary>{words.fuelWaterNow(fuelWaterText(draft.fuel_water))}</summary>
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
          if (isMissing) bringFault(box.current);
          else if (draft.tube !== null) goOn();
        }}
      >
        {labels.test.goOn}
      </button>
    </>
  );
}
