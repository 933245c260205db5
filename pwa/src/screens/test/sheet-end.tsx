/** Below the stages: the result as soon as there is one, and once the sheet is full what to do with it. */

import { useMemo } from "preact/hooks";
import { labels } from "../../i18n";
import { type Odd, oddOf } from "../../model/odd";
import { MOST_RUNS } from "../../model/progress";
import type { Draft } from "../../rows/draft";
import type { SourceFigures } from "../../rows/source-figures";
import type { OwnTest } from "../../rows/test";
import type { TubeRow } from "../../rows/tube";
import { CautionBox } from "../../widgets/caution-box";
import { lazy } from "../../widgets/lazy";
import { contradicts } from "../shared/result/contradiction";
import { eachAlone, furtherRun, measurementOf, outcomeOf } from "../shared/result/outcome";
import { ResultView } from "../shared/result/result-view";
import { KeepStage, type KeepStageProps } from "./keep-stage";
import { NextRun } from "./next-run";
import type { SetAsideProps } from "./set-aside";
import type { SheetInHand } from "./use-draft";

export { Kept } from "./kept";

/** Only runs that contradict each other need its program. */
const SetAside = lazy<SetAsideProps>(() => import("./set-aside"));

export interface SheetEndProps extends Pick<SheetInHand, "change" | "saved"> {
  draft: Draft;
  tubes: readonly TubeRow[];
  /** What is known of the source. */
  figures: SourceFigures | null;
  /** No stage is left to be done. */
  full: boolean;
  onRun: () => void;
  save?: KeepStageProps["save"];
  onKept: (test: OwnTest, odd: Odd | null) => void;
}

export function SheetEnd({ draft, tubes, figures, full, change, saved, save, onRun, onKept }: SheetEndProps) {
  const measurement = useMemo(() => measurementOf(draft, tubes), [draft, tubes]);
  const outcome = useMemo(() => outcomeOf(draft, tubes), [draft, tubes]);
  const runs = useMemo(() => (outcome?.result ? eachAlone(measurement) : []), [outcome, measurement]);
  if (!outcome || !measurement) return null;
  const found = outcome.result;
  const odd = found && oddOf({ ...found, sampled: draft.sampled }, figures);
  return (
    <>
      <ResultView
        outcome={outcome}
        runs={runs}
        measurement={measurement}
        tube={draft.tube ?? ""}
        kept={false}
        odd={odd}
      >
        {found && full && (contradicts(found) || found.runs.length < draft.runs.length) && (
          <SetAside measurement={measurement} contradicting={contradicts(found)} change={change} />
        )}
        {found && full && !draft.corrects && draft.runs.length < MOST_RUNS && (
          <NextRun further={furtherRun(found, draft.runs.length)} number={draft.runs.length + 1} onStart={onRun} />
        )}
        {found && full && (
          <KeepStage
            draft={draft}
            tubes={tubes}
            found={found}
            change={change}
            saved={saved}
            save={save}
            onKept={(test) => onKept(test, odd)}
          />
        )}
      </ResultView>
      {found && full && !draft.corrects && (
        <CautionBox title={labels.test.after.caution} points={labels.test.after.points} />
      )}
    </>
  );
}
