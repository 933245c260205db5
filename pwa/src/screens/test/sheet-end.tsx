/** Below the stages: the result as soon as there is one, and what to do with it once the sheet is complete. */

import type { VNode } from "preact";
import { useMemo } from "preact/hooks";
import { labels } from "../../i18n";
import { oddOf } from "../../model/odd";
import { MOST_RUNS } from "../../model/progress";
import type { Draft } from "../../rows/draft";
import type { SourceFigures } from "../../rows/source-figures";
import type { TubeRow } from "../../rows/tube";
import { CautionBox } from "../../widgets/caution-box";
import { lazy } from "../../widgets/lazy";
import { contradicts } from "../shared/result/contradiction";
import { eachAlone, furtherRun, measurementOf, outcomeOf } from "../shared/result/outcome";
import { ResultView } from "../shared/result/result-view";
import { AfterSaving } from "./after-saving";
import { NextRun } from "./next-run";
import { SaveStage, type SaveStageProps } from "./save-stage";
import type { SetAsideProps } from "./set-aside";
import type { OpenSheet } from "./use-draft";

/** Only contradicting runs need this code. */
const SetAside = lazy<SetAsideProps>(() => import("./set-aside"));

/** What the saved test's page is; loaded with the save button, so that it is drawn at once. again: starts a new sheet. */
export type SavedPage = (again: () => void) => VNode;

export interface SheetEndProps extends Pick<OpenSheet, "change" | "saved"> {
  draft: Draft;
  tubes: readonly TubeRow[];
  /** What is known about the source. */
  figures: SourceFigures | null;
  /** No stage is left to do. */
  full: boolean;
  onRun: () => void;
  save?: SaveStageProps["save"];
  onSaved: (page: SavedPage) => void;
}

export function SheetEnd({ draft, tubes, figures, full, change, saved, save, onRun, onSaved }: SheetEndProps) {
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
        isSaved={false}
        odd={odd}
      >
        {found && full && (contradicts(found) || found.runs.length < draft.runs.length) && (
          <SetAside measurement={measurement} contradicting={contradicts(found)} change={change} />
        )}
        {found && full && !draft.corrects && draft.runs.length < MOST_RUNS && (
          <NextRun further={furtherRun(found, draft.runs.length)} number={draft.runs.length + 1} onStart={onRun} />
        )}
        {found && full && (
          <SaveStage
            draft={draft}
            tubes={tubes}
            found={found}
            change={change}
            saved={saved}
            save={save}
            onSaved={(test) => onSaved((again) => <AfterSaving kept={test} odd={odd} onAgain={again} />)}
          />
        )}
      </ResultView>
      {found && full && !draft.corrects && (
        <CautionBox title={labels.test.after.caution} points={labels.test.after.points} />
      )}
    </>
  );
}
