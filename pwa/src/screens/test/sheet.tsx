/** The run sheet: stages from top to bottom, then the result, then keeping. */

import { Fragment } from "preact";
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { labels } from "../../labels";
import { CautionBox } from "../../parts/caution-box";
import { isSettling } from "../../store/drafts";
import { listFigures } from "../../store/figures";
import type { OwnTest } from "../../store/schema";
import { listTubes } from "../../store/tubes";
import { useStored } from "../../use";
import { setSettling } from "./alarm";
import { KeepStage } from "./keep-stage";
import { NextRun } from "./next-run";
import { furtherRun, measurementOf, outcomeOf, runByRun } from "./outcome";
import { firstOpen, isComplete, MOST_RUNS, RUN_STAGES, runIndex, type StageKey, stagesOf, withRun } from "./progress";
import { ResultView } from "./result-view";
import { withRuns } from "./run-entry";
import { RunHead } from "./run-head";
import { Stage } from "./stage";
import { StageBody } from "./stage-body";
import { summaryOf, titleOf } from "./summaries";
import type { SheetInHand } from "./use-draft";

export type SheetProps = Pick<SheetInHand, "change" | "saved"> & {
  draft: NonNullable<SheetInHand["draft"]>;
  onKept: (test: OwnTest) => void;
};

export function Sheet({ draft, change, saved, onKept }: SheetProps) {
  const tubes = useStored(listTubes, ["tubes"]);
  const figures = useStored(listFigures, ["figures"]);
  const tube = tubes?.find((one) => one.id === draft.tube);
  const source = figures?.find((one) => one.source === draft.source);
  const measurement = useMemo(() => (tube ? measurementOf(draft, tube) : null), [draft, tube]);
  const outcome = useMemo(() => outcomeOf(draft, tube), [draft, tube]);
  const { opened, open, goOn, moved } = useOpened(draft);
  const end = useRef<HTMLDivElement>(null);
  useEffect(() => setSettling(settlingUntil(draft)), [draft]);
  useEffect(() => {
    if (opened === null && moved) end.current?.scrollIntoView({ block: "start" });
  }, [opened, moved]);

  if (!tubes || !figures) return <p role="status">{labels.test.loading}</p>;
  const stages = stagesOf(draft);
  const now = Date.now();
  return (
    <>
      <div class="sheet">
        {stages.map((key, index) => {
          const isOpen = key === opened;
          const state = isOpen ? "open" : isComplete(key, draft, now) ? "filled" : "ahead";
          return (
            <Fragment key={key}>
              {key.startsWith(RUN_STAGES[0] ?? "") && (
                <RunHead
                  index={runIndex(key)}
                  draft={draft}
                  reached={stages.slice(0, index).every((before) => isComplete(before, draft, now))}
                  onRuns={(runs) => change(withRuns(runs))}
                  onRemoved={goOn}
                />
              )}
              <Stage
                number={index + 1}
                title={titleOf(key)}
                state={state}
                summary={summaryOf(key, draft, { source, tube })}
                follow={moved}
                onOpen={() => open(key)}
              >
                {isOpen && (
                  <StageBody stage={key} draft={draft} tube={tube} tubes={tubes} change={change} goOn={goOn} />
                )}
              </Stage>
            </Fragment>
          );
        })}
      </div>
      <div ref={end} class="sheet-end">
        {outcome && tube && measurement && (
          <ResultView
            outcome={outcome}
            runs={outcome.result ? runByRun(draft, tube) : []}
            measurement={measurement}
            tube={tube.id}
            kept={false}
          />
        )}
        {outcome?.result && tube && opened === null && (
          <>
            {draft.runs.length < MOST_RUNS && (
              <NextRun
                further={furtherRun(outcome.result)}
                number={draft.runs.length + 1}
                onStart={() => {
                  change({ runs: withRun(draft.runs, draft.runs.length, {}) });
                  goOn();
                }}
              />
            )}
            <KeepStage draft={draft} tube={tube} found={outcome.result} change={change} saved={saved} onKept={onKept} />
            <CautionBox title={labels.test.after.caution} points={labels.test.after.points} />
          </>
        )}
      </div>
    </>
  );
}

/** Which stage is open: the first that is not complete, until the person opens another. */
function useOpened(draft: SheetProps["draft"]) {
  const [wanted, setWanted] = useState<StageKey | "next" | "none">("next");
  // A sheet that was begun earlier opens at the stage it had come to.
  const [moved, setMoved] = useState(draft.source !== null);
  const next = wanted === "next" ? (firstOpen(draft, Date.now()) ?? "none") : wanted;
  useEffect(() => {
    if (wanted === "next") setWanted(next);
  }, [wanted, next]);
  const go = (to: StageKey | "next") => {
    setMoved(true);
    setWanted(to);
  };
  const gone = next !== "none" && !stagesOf(draft).includes(next);
  return { opened: next === "none" || gone ? null : next, open: go, goOn: () => go("next"), moved };
}

/** The end of the settling that is under way, ms since 1970. */
function settlingUntil(draft: SheetProps["draft"]): number | null {
  const run = draft.runs.find((one) => isSettling({ ...draft, runs: [one] }, new Date()));
  return run?.settle_until ?? null;
}
