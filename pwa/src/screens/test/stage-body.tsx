/** The content of an open stage. */

import { labels } from "../../i18n";
import { besideOf, EMPTY_RUN, runIndex, type StageKey, tubeOf, withRun } from "../../model/progress";
import { mixtureOf } from "../../model/temperatures";
import type { Draft, DraftRun } from "../../rows/draft";
import type { TubeRow } from "../../rows/tube";
import { CautionBox } from "../../widgets/caution-box";
import { LineStage } from "./line-stage";
import { readNow, withPhoto, withRuns } from "./run-entry";
import { FillStage, SettleStage, ShakeStage } from "./run-stages";
import { RunTube } from "./run-tube";
import { SourceStage } from "./source-stage";
import { TubeStage } from "./tube-stage";
import type { Change } from "./use-draft";

export interface StageBodyProps {
  stage: StageKey;
  draft: Draft;
  tube: TubeRow | undefined;
  tubes: readonly TubeRow[];
  change: Change;
  goOn: () => void;
  /** Starts another run. */
  onRun: () => void;
}

export function StageBody({ stage, draft, tube, tubes, change, goOn, onRun }: StageBodyProps) {
  if (stage === "source") return <SourceStage draft={draft} change={change} goOn={goOn} />;
  if (stage === "tube" || !tube) return <TubeStage draft={draft} change={change} goOn={goOn} tubes={tubes} />;
  if (stage === "before") return <Before change={change} goOn={goOn} />;
  const index = runIndex(stage);
  const one = draft.runs[index] ?? EMPTY_RUN;
  const own = tubeOf(draft, one, tubes) ?? tube;
  const run = {
    run: one,
    tube: own,
    mixture: own.liquid === "brine" ? null : mixtureOf(draft, one),
    minutes: draft.settle_minutes,
    changeRun: (part: Partial<DraftRun>) => change((now) => ({ runs: withRun(now.runs, index, part) })),
    goOn,
  };
  if (stage.startsWith("fill")) {
    return (
      <>
        {index > 0 && <RunTube {...run} draft={draft} tube={tube} tubes={tubes} />}
        <FillStage key={own.id} {...run} />
      </>
    );
  }
  if (stage.startsWith("shake")) return <ShakeStage {...run} />;
  if (stage.startsWith("settle")) return <SettleStage {...run} beside={besideOf(draft, own, index)} onBeside={onRun} />;
  const photos = draft.runs.flatMap((other, at) => (at === index ? [] : (other.photo ?? [])));
  return (
    <LineStage
      {...run}
      changeRun={(part) => run.changeRun(readNow(one, part, Date.now()))}
      asksTemperature={draft.temperature === null}
      photos={photos}
      onPhoto={(photo) => change((now) => withPhoto(now, index, photo))}
      onPutBack={() => change((now) => withRuns(withRun(now.runs, index, readFromPhoto(one))))}
      bottom={draft.runs.findLast((other) => other.marks)?.marks?.bottom_volume ?? null}
    />
  );
}

function readFromPhoto({ photo, marks, line_half_width }: DraftRun): Partial<DraftRun> {
  return { photo, marks, line_half_width };
}

function Before({ change, goOn }: Pick<StageBodyProps, "change" | "goOn">) {
  const words = labels.test.before;
  return (
    <>
      <CautionBox title={words.caution} points={words.points} />
      <button
        type="button"
        class="main"
        onClick={() => {
          change({ cautions_read: true });
          goOn();
        }}
      >
        {words.done}
      </button>
    </>
  );
}
