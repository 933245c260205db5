/** What stands inside an open stage. */

import { labels } from "../../labels";
import { CautionBox } from "../../parts/caution-box";
import type { Draft, DraftRun, TubeRow } from "../../store/schema";
import { LineStage } from "./line-stage";
import { EMPTY_RUN, runIndex, type StageKey, withRun } from "./progress";
import { FillStage, SettleStage, ShakeStage } from "./run-stages";
import { SourceStage } from "./source-stage";
import { TubeStage } from "./tube-stage";

export interface StageBodyProps {
  stage: StageKey;
  draft: Draft;
  tube: TubeRow | undefined;
  tubes: readonly TubeRow[];
  change: (part: Partial<Draft>) => void;
  goOn: () => void;
}

export function StageBody({ stage, draft, tube, tubes, change, goOn }: StageBodyProps) {
  if (stage === "source") return <SourceStage draft={draft} change={change} goOn={goOn} />;
  if (stage === "tube" || !tube) return <TubeStage draft={draft} change={change} goOn={goOn} tubes={tubes} />;
  if (stage === "before") return <Before change={change} goOn={goOn} />;
  const index = runIndex(stage);
  const run = {
    run: draft.runs[index] ?? EMPTY_RUN,
    tube,
    minutes: draft.settle_minutes,
    changeRun: (part: Partial<DraftRun>) => change({ runs: withRun(draft.runs, index, part) }),
    goOn,
  };
  if (stage.startsWith("fill")) return <FillStage {...run} />;
  if (stage.startsWith("shake")) return <ShakeStage {...run} />;
  if (stage.startsWith("settle")) return <SettleStage {...run} />;
  return <LineStage {...run} photos={draft.photos} onPhotos={(photos) => change({ photos })} />;
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
