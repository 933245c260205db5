/** Below the stages: the result as soon as there is one, and once the sheet is full what to do with it. */

import { useMemo } from "preact/hooks";
import { labels } from "../../labels";
import { CautionBox } from "../../parts/caution-box";
import type { Draft, OwnTest, TubeRow } from "../../store/schema";
import { KeepStage, type KeepStageProps } from "./keep-stage";
import { NextRun } from "./next-run";
import { furtherRun, measurementOf, outcomeOf, runByRun } from "./outcome";
import { MOST_RUNS } from "./progress";
import { ResultView } from "./result-view";
import type { SheetInHand } from "./use-draft";

export interface SheetEndProps extends Pick<SheetInHand, "change" | "saved"> {
  draft: Draft;
  tubes: readonly TubeRow[];
  /** No stage is left to be done. */
  full: boolean;
  onRun: () => void;
  save?: KeepStageProps["save"];
  onKept: (test: OwnTest) => void;
}

export function SheetEnd({ draft, tubes, full, change, saved, save, onRun, onKept }: SheetEndProps) {
  const measurement = useMemo(() => measurementOf(draft, tubes), [draft, tubes]);
  const outcome = useMemo(() => outcomeOf(draft, tubes), [draft, tubes]);
  const runs = useMemo(() => (outcome?.result ? runByRun(draft, tubes) : []), [outcome, draft, tubes]);
  if (!outcome || !measurement) return null;
  const found = outcome.result;
  return (
    <>
      <ResultView outcome={outcome} runs={runs} measurement={measurement} tube={draft.tube ?? ""} kept={false}>
        {found && full && !draft.corrects && draft.runs.length < MOST_RUNS && (
          <NextRun further={furtherRun(found)} number={draft.runs.length + 1} onStart={onRun} />
        )}
        {found && full && <KeepStage {...{ draft, tubes, found, change, saved, save, onKept }} />}
      </ResultView>
      {found && full && !draft.corrects && (
        <CautionBox title={labels.test.after.caution} points={labels.test.after.points} />
      )}
    </>
  );
}
