/**
 * Reading the line: dragged along the tube, stepped or typed; the fuel's top and a photo are optional.
 *
 * A second run does not start from the first one's line: that would not be an independent reading.
 */

import { useState } from "preact/hooks";
import { labels } from "../../i18n";
import { highestTop, readable, topOfFill } from "../../model/progress";
import { ActButton } from "../../widgets/act-button";
import { lazy } from "../../widgets/lazy";
import { LinePicker } from "../../widgets/line-picker";
import { NumberField } from "../../widgets/number-field";
import { Degrees } from "./fill-temperatures";
import type { LinePhotoProps } from "./line-photo";
import { byEye } from "./run-entry";
import type { RunStageProps } from "./run-stages";
import { WarmNote } from "./warm-note";

/** The line comes first. */
const LinePhoto = lazy<LinePhotoProps>(() => import("./line-photo"));

export interface LineStageProps extends RunStageProps, LinePhotoProps {
  /** The sheet has no temperature of the tube yet. */
  asksTemperature: boolean;
}

export function LineStage(props: LineStageProps) {
  const { run, tube, changeRun, goOn, photos, onPhoto, onPutBack, bottom, asksTemperature, mixture } = props;
  const words = labels.test.line;
  const onVolume = tube.scale === "volume";
  const scale = readable(tube, run);
  const value = onVolume ? run.line : run.percent;
  const done = () => {
    changeRun({ confirmed: true });
    goOn();
  };
  const enter = (next: number | null) => changeRun(byEye(tube, next));
  return (
    <>
      <div class="line-entry">
        <LinePicker {...scale} step={tube.graduation} value={value} onValue={enter} />
        <div>
          <p class="hint">
            {words.hint} {words.drag}
          </p>
          <NumberField
            label={onVolume ? words.volume : words.percent}
            unit={onVolume ? "mL" : "%"}
            value={value}
            onValue={enter}
            step={tube.graduation / 2}
            min={scale.low}
            max={scale.high}
            upright
            onEnter={done}
          />
        </div>
      </div>
      {asksTemperature && <TubeTemperature run={run} mixture={mixture} changeRun={changeRun} />}
      {onVolume && <Top run={run} tube={tube} changeRun={changeRun} />}
      <LinePhoto {...{ run, tube, changeRun, photos, onPhoto, onPutBack, bottom }} />
      <ActButton main missing={value === null ? words.missing : null} onAct={done}>
        {words.done}
      </ActButton>
    </>
  );
}

function TubeTemperature({ run, mixture, changeRun }: Pick<RunStageProps, "run" | "mixture" | "changeRun">) {
  const words = labels.test.line;
  const measured = run.temperature ?? null;
  const [asking, setAsking] = useState(measured !== null);
  return (
    <>
      {mixture && measured === null && <WarmNote run={run} mixture={mixture} />}
      {asking ? (
        <Degrees
          label={words.temperature}
          value={measured}
          onValue={(temperature) => changeRun({ temperature })}
          offered={mixture?.water_temperature ?? null}
          hint={words.temperatureHint}
        />
      ) : (
        <button type="button" class="plain" onClick={() => setAsking(true)}>
          {words.temperatureAsk}
        </button>
      )}
    </>
  );
}

type TopProps = Pick<RunStageProps, "run" | "tube" | "changeRun">;

function Top({ run, tube, changeRun }: TopProps) {
  const words = labels.test.line;
  const [asking, setAsking] = useState(run.top !== null);
  if (!asking) {
    return (
      <button type="button" class="plain" onClick={() => setAsking(true)}>
        {words.topAsk}
      </button>
    );
  }
  const below = run.top !== null && run.line !== null && run.top < run.line;
  return (
    <NumberField
      label={words.top}
      unit="mL"
      value={run.top}
      onValue={(top) => changeRun({ top })}
      step={tube.graduation / 2}
      min={run.water ?? 0}
      max={highestTop(tube, run)}
      offered={topOfFill(run)}
      hint={words.topHint}
      fault={below ? words.topFault : undefined}
    />
  );
}
