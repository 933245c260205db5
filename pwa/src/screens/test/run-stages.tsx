/** The stages of one run done by hand: fill, invert, settle. */

import { useEffect, useState } from "preact/hooks";
import { labels } from "../../i18n";
import { mL, number } from "../../i18n/format";
import { fillAtMarks, fillOf, topOfFill } from "../../model/progress";
import type { Mixture } from "../../model/warming";
import type { DraftRun } from "../../rows/draft";
import type { TubeRow } from "../../rows/tube";
import { askToNotify, canAskToNotify } from "../../state/alarm";
import { usePage } from "../../state/page";
import { ActButton } from "../../widgets/act-button";
import { NumberField } from "../../widgets/number-field";
import { SettleClock } from "../../widgets/settle-clock";
import { WarmNote } from "./warm-note";

const MINUTE_MS = 60_000;

export interface RunStageProps {
  run: DraftRun;
  tube: TubeRow;
  /** Its contents, if their warmth matters and can be estimated. */
  mixture: Mixture | null;
  minutes: number;
  changeRun: (part: Partial<DraftRun>) => void;
  goOn: () => void;
}

export interface SettleStageProps extends RunStageProps {
  /** Number of a run that can start in a second tube meanwhile; null: none. */
  beside: number | null;
  onBeside: () => void;
}

export function FillStage({ run, tube, changeRun, goOn }: RunStageProps) {
  const words = labels.test.fill;
  const atMarks = fillAtMarks(tube);
  const elsewhere = run.water !== null && (run.water !== atMarks.water || run.fuel !== atMarks.fuel);
  const [asking, setAsking] = useState(elsewhere);
  return (
    <>
      <ol class="acts">
        <li>
          <span>{words.water(words.liquid[tube.liquid], mL(tube.water_mark, 0))}</span>
        </li>
        <li>
          <span>{words.fuel(mL(tube.fuel_mark, 0))}</span>
        </li>
      </ol>
      <p class="hint">{words.eye}</p>
      {asking ? (
        <ElsewhereFill run={run} tube={tube} changeRun={changeRun} goOn={goOn} />
      ) : (
        <>
          <button
            type="button"
            class="main"
            onClick={() => {
              changeRun(atMarks);
              goOn();
            }}
          >
            {words.done}
          </button>
          {tube.scale === "volume" && (
            <button type="button" class="plain" onClick={() => setAsking(true)}>
              {words.overshot}
            </button>
          )}
        </>
      )}
    </>
  );
}

function ElsewhereFill({ run, tube, changeRun, goOn }: Omit<RunStageProps, "minutes" | "mixture">) {
  const words = labels.test.fill;
  const [water, setWater] = useState<number | null>(run.water ?? tube.water_mark);
  const [top, setTop] = useState<number | null>(topOfFill(run) ?? tube.fuel_mark);
  const fault = water !== null && top !== null && top <= water ? words.topFault : undefined;
  const complete = water !== null && top !== null && !fault;
  const limits = { unit: "mL", step: tube.graduation, min: tube.graduation, max: 2000 };
  return (
    <>
      <NumberField label={words.waterAt} value={water} onValue={setWater} {...limits} />
      <NumberField label={words.topAt} value={top} onValue={setTop} fault={fault} {...limits} />
      <ActButton
        main
        missing={complete ? null : (fault ?? words.missing)}
        onAct={() => {
          if (!complete) return;
          changeRun(fillOf(water, top));
          goOn();
        }}
      >
        {words.done}
      </ActButton>
    </>
  );
}

/** A tube that is inverted again must be read again. */
function turned(): Partial<DraftRun> {
  return { shaken: true, shaken_at: Date.now(), read_at: null };
}

/** Venting is the last step at the tube, so the same tap starts the settling timer. */
export function ShakeStage({ minutes, changeRun, goOn }: RunStageProps) {
  const words = labels.test.shake;
  const { alarm } = usePage();
  return (
    <>
      <ol class="acts">
        {words.points.map((point) => (
          <li key={point}>
            <span>{point}</span>
          </li>
        ))}
      </ol>
      <button
        type="button"
        class="main"
        onClick={() => {
          alarm.unlock();
          changeRun({ ...turned(), settle_until: Date.now() + minutes * MINUTE_MS });
          goOn();
        }}
      >
        {words.done(number(minutes, 0))}
      </button>
      <button
        type="button"
        class="plain"
        onClick={() => {
          // Somebody with another timer returns when it has settled.
          changeRun({ ...turned(), settle_until: Date.now() });
          goOn();
        }}
      >
        {words.doneOnly}
      </button>
    </>
  );
}

export function SettleStage({ run, mixture, minutes, changeRun, goOn, beside, onBeside }: SettleStageProps) {
  const words = labels.test.settle;
  const { alarm } = usePage();
  const [asked, setAsked] = useState(false);
  // After a reload the browser needs a new tap before the page may play sound: any tap will do.
  useEffect(() => {
    const unlock = () => alarm.unlock();
    document.addEventListener("pointerdown", unlock);
    return () => document.removeEventListener("pointerdown", unlock);
  }, []);
  return (
    <>
      <p>{words.hint}</p>
      <SettleClock
        minutes={minutes}
        until={run.settle_until}
        onStart={(until) => {
          alarm.unlock();
          changeRun({ settle_until: until });
        }}
        onSkip={(now) => {
          changeRun({ settle_until: now });
          goOn();
        }}
        onDone={goOn}
      />
      {mixture && <WarmNote run={run} mixture={mixture} />}
      {run.settle_until !== null && beside !== null && (
        <div class="field">
          <p>
            <b>{words.beside}</b>
          </p>
          <p class="hint">{words.besideHint}</p>
          <button type="button" onClick={onBeside}>
            {words.besideAct(beside)}
          </button>
        </div>
      )}
      {run.settle_until !== null && !asked && canAskToNotify() && (
        <button
          type="button"
          class="plain"
          onClick={() => {
            setAsked(true);
            void askToNotify();
          }}
        >
          {labels.parts.clockNotify}
        </button>
      )}
    </>
  );
}
