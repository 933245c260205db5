/** Calibration: fill to a mark, weigh the water, then the next mark. */

import { useState } from "preact/hooks";
import { LEAST_FILL, MOST_FILL } from "../../chemistry/limits";
import { labels } from "../../i18n";
import { day, fromTemperature, mL, number, pair, temperature, temperatureUnit, toTemperature } from "../../i18n/format";
import * as weighing from "../../model/weighing";
import type { WeighedMark } from "../../rows/tube";
import { to } from "../../state/router";
import { settings } from "../../state/signals";
import { dropWeighing, saveWeighing } from "../../store/tubes";
import { ActButton } from "../../widgets/act-button";
import { ChoiceRow } from "../../widgets/choice-row";
import { NumberField } from "../../widgets/number-field";
import { textOf } from "../../widgets/number-text";
import { excessText, markText, volumeText } from "../shared/tube-words";
import { ActSteps } from "./act-steps";
import type { TubeProps } from "./props";

const RESOLUTIONS = ["0.01", "0.1", "1"] as const;
/** °C, suggested for tap water that has been standing. */
const USUAL = 20;

export function WeighPage({ row }: TubeProps) {
  const words = labels.tubes.weigh;
  return (
    <div class="form">
      <header class="head">
        <h1>{words.title}</h1>
        <p class="quiet">{row.name}</p>
        <p>{words.lead}</p>
      </header>
      <ActSteps of={words.steps} />
      {row.calibration.length < weighing.MOST_MARKS ? <MarkForm row={row} /> : <p>{words.full}</p>}
      <Marks row={row} />
      <a class="button plain" href={to("tubes", row.id)}>
        {labels.tubes.back}
      </a>
    </div>
  );
}

function MarkForm({ row }: TubeProps) {
  const words = labels.tubes.weigh;
  const units = settings.value;
  const last = row.calibration.at(-1);
  const [nominal, setNominal] = useState<number | null>(weighing.nextMark(row));
  const [mass, setMass] = useState<number | null>(null);
  const [celsius, setCelsius] = useState<number | null>(last?.temperature ?? null);
  const [resolution, setResolution] = useState(last?.resolution ?? 0.1);
  const mark = weighing.weighedMark({ nominal, mass, temperature: celsius, resolution }, new Date());
  const verdict = mark && weighing.verdictOf(row, mark);
  const shown = (value: number) => Number(toTemperature(value, units).toFixed(1));
  const volume = { unit: "mL", min: LEAST_FILL, max: MOST_FILL };
  return (
    <>
      <NumberField
        label={words.nominal}
        value={nominal}
        onValue={setNominal}
        step={5}
        hint={row.scale === "volume" ? words.nominalHint : words.nominalHintPercent}
        {...volume}
      />
      <NumberField
        label={words.mass}
        unit={words.gram}
        value={mass}
        onValue={setMass}
        step={resolution}
        min={weighing.LEAST_MASS}
        max={weighing.MOST_MASS}
        offered={nominal}
      />
      <NumberField
        label={words.temperature}
        unit={temperatureUnit(units)}
        value={celsius === null ? null : shown(celsius)}
        onValue={(value) => setCelsius(value === null ? null : fromTemperature(value, units))}
        step={1}
        min={shown(weighing.COLDEST_WATER)}
        max={shown(weighing.WARMEST_WATER)}
        offered={shown(USUAL)}
      />
      <ChoiceRow
        legend={words.resolution}
        value={String(resolution) as (typeof RESOLUTIONS)[number]}
        onValue={(step) => setResolution(Number(step))}
        options={RESOLUTIONS.map((value) => ({ value, label: `${textOf(Number(value))}\u00a0${words.gram}` }))}
        hint={resolution === 1 ? words.coarse : undefined}
      />
      <div role="status">{mark && verdict && <Verdict row={row} mark={mark} verdict={verdict} />}</div>
      <ActButton
        main
        missing={
          !mark
            ? words.missing
            : verdict === "impossible"
              ? words.verdict.impossible(mL(weighing.mostOff(row, mark)))
              : null
        }
        onAct={() => {
          if (!mark) return;
          void saveWeighing(row.id, mark);
          setMass(null);
          setNominal(weighing.nextMark(row, mark));
        }}
      >
        {words.keep}
      </ActButton>
    </>
  );
}

interface VerdictProps extends TubeProps {
  mark: WeighedMark;
  verdict: weighing.Verdict;
}

function Verdict({ row, mark, verdict }: VerdictProps) {
  const words = labels.tubes.weigh;
  if (verdict === "impossible") return <p class="fault">{words.verdict.impossible(mL(weighing.mostOff(row, mark)))}</p>;
  const isSuspicious = verdict === "beyond_tolerance";
  const tolerance = labels.tubes.known.plusMinus(markText(row.tolerance ?? 0));
  return (
    <p class={isSuspicious ? "warning" : undefined}>
      <span>
        <b>{words.holds(volumeText(mark))}</b> {words.verdict[verdict](excessText(mark), tolerance)}
      </span>
    </p>
  );
}

function Marks({ row }: TubeProps) {
  const words = labels.tubes.weigh;
  const { calibration } = row;
  if (calibration.length === 0) return null;
  return (
    <section class="leaf">
      <h2>{words.list}</h2>
      <ul class="row-list">
        {calibration.map((mark) => (
          <li key={mark.nominal} class="tube-mark">
            <span class="row-main">
              <span class="row-name">{pair(words.row(markText(mark.nominal)), volumeText(mark))}</span>
              <span class="row-note">
                {words.of(grams(mark), temperature(mark.temperature, settings.value), day(mark.weighed_at))}
              </span>
            </span>
            <button type="button" onClick={() => void dropWeighing(row.id, mark.nominal, new Date())}>
              {words.drop}
              <span class="unseen">, {words.dropWhich(markText(mark.nominal))}</span>
            </button>
          </li>
        ))}
      </ul>
      {calibration.length === 1 && <p class="warning">{words.one}</p>}
      <p class="hint">{words.exact}</p>
    </section>
  );
}

function grams({ mass, resolution }: WeighedMark): string {
  const decimals = RESOLUTIONS.indexOf("1") - RESOLUTIONS.findIndex((one) => Number(one) === resolution);
  return `${number(mass, decimals)}\u00a0${labels.tubes.weigh.gram}`;
}
