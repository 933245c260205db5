/** Scale check: the heights of the fill marks and of some printed per cent marks show the kind of scale. */

import { useState } from "preact/hooks";
import { labels } from "../../i18n";
import { number } from "../../i18n/format";
import * as heights from "../../model/heights";
import type { HeightCheck } from "../../rows/tube";
import { go, to } from "../../state/router";
import { saveScaleCheck } from "../../store/tubes";
import { NumberField } from "../../widgets/number-field";
import { StepsList } from "../../widgets/steps-list";
import { ActSteps } from "./act-steps";
import type { TubeProps } from "./props";

type Mark = heights.Heights["marks"][number];

/** Well apart, and on most scales. */
const OFFERED: readonly Mark[] = [20, 50, 80].map((percent) => ({ percent, height: null }));
const MOST_MARKS = 24;
const TALLEST = 1000;

export function ScaleCheckPage({ row }: TubeProps) {
  const words = labels.tubes.check;
  const isPercent = row.scale !== "volume" && row.liquid === "water";
  return (
    <div class="form">
      <header class="head">
        <h1>{words.title}</h1>
        <p class="quiet">{row.name}</p>
        <p>{isPercent ? words.lead : words.notNeeded}</p>
      </header>
      {isPercent && <HeightsForm row={row} />}
      <a class="button plain" href={to("tubes", row.id)}>
        {labels.tubes.back}
      </a>
    </div>
  );
}

function HeightsForm({ row }: TubeProps) {
  const words = labels.tubes.check;
  const [water, setWater] = useState<number | null>(null);
  const [fuel, setFuel] = useState<number | null>(null);
  const [marks, setMarks] = useState(OFFERED);
  const entered = { water, fuel, marks };
  const fault = heights.faultOf(entered);
  const found = heights.checkOf(row, entered, new Date());
  const change = (index: number, part: Partial<Mark>) =>
    setMarks(marks.map((mark, at) => (at === index ? { ...mark, ...part } : mark)));
  return (
    <>
      <ActSteps of={words.steps} />
      <div class="form-pair">
        <Height label={words.water} value={water} onValue={setWater} />
        <Height label={words.fuel} value={fuel} onValue={setFuel} />
      </div>
      {marks.map((mark, index) => (
        // A mark is identified by its index only; none is ever removed.
        <fieldset key={index} class="form-pair tube-heights">
          <legend>{words.mark(index + 1)}</legend>
          <NumberField
            label={words.printed(index + 1)}
            unit="%"
            value={mark.percent}
            onValue={(percent) => change(index, { percent })}
            step={5}
            min={0}
            max={100}
          />
          <Height label={words.height(index + 1)} value={mark.height} onValue={(height) => change(index, { height })} />
        </fieldset>
      ))}
      {marks.length < MOST_MARKS && (
        <button type="button" onClick={() => setMarks([...marks, { percent: null, height: null }])}>
          {words.more}
        </button>
      )}
      {fault && (
        <p class="fault" role="alert">
          {words.fault[fault]}
        </p>
      )}
      <div role="status" class="form">
        {found && <Found row={row} found={found} />}
      </div>
    </>
  );
}

interface HeightProps {
  label: string;
  value: number | null;
  onValue: (value: number | null) => void;
}

function Height(props: HeightProps) {
  return <NumberField {...props} unit={labels.tubes.check.millimetres} step={0.5} min={0} max={TALLEST} />;
}

function Found({ row, found }: TubeProps & { found: HeightCheck }) {
  const words = labels.tubes.check;
  const misfits = heights.misfitsOf(found);
  const isNew = found.kind !== "cannot_tell" && found.kind !== row.scale;
  const keep = (accepted: boolean) => {
    const now = new Date().toISOString();
    void saveScaleCheck(row.id, { ...found, checked_at: now }, accepted).then(() => go(["tubes", row.id], true));
  };
  const millimetres = (value: number) => `${number(value, 1)}\u00a0${words.millimetres}`;
  return (
    <section class="result" aria-label={words.title}>
      <h2>{words.kind[found.kind]}</h2>
      {found.kind === "cannot_tell" && <p>{words.why[heights.doubtOf(found)]}</p>}
      {found.kind === row.scale && <p>{words.same}</p>}
      <StepsList
        title={words.fits}
        steps={[
          { name: words.linear, value: millimetres(misfits.linear) },
          { name: words.corrected, value: millimetres(misfits.corrected) },
        ]}
      />
      {found.kind !== "cannot_tell" && isNew && (
        <button type="button" class="main" onClick={() => keep(true)}>
          {words.accept[found.kind]}
        </button>
      )}
      <button type="button" onClick={() => keep(false)}>
        {isNew ? words.keep : words.keepSame}
      </button>
    </section>
  );
}
