/** The run sheet: stages from top to bottom, then the result, then saving. */

import { Fragment } from "preact";
import { useEffect, useMemo, useRef } from "preact/hooks";
import { labels } from "../../i18n";
import {
  isComplete,
  isOfRun,
  RUN_STAGES,
  reachable,
  runIndex,
  type StageKey,
  stagesOf,
  withRun,
} from "../../model/progress";
import { useClock, useStored } from "../../state/hooks";
import { settlingTubes } from "../../store/drafts";
import { readFigures } from "../../store/figure-rows";
import { listTubes } from "../../store/tubes";
import { lazy } from "../../widgets/lazy";
import { SettleStrip } from "../../widgets/settle-strip";
import { Waiting } from "../../widgets/waiting";
import { actOf, summaryOf, titleOf } from "../shared/result/summaries";
import { withRuns } from "./run-entry";
import { RunHead } from "./run-head";
import type { SaveStageProps } from "./save-stage";
import type { SheetEndProps } from "./sheet-end";
import { Stage, type StageState } from "./stage";
import { StageBody } from "./stage-body";
import type { OpenSheet } from "./use-draft";
import { useOpened } from "./use-opened";

/** There is nothing to show before a tube is chosen. */
const SheetEnd = lazy<SheetEndProps>(async () => ({ default: (await import("./sheet-end")).SheetEnd }));

export type SheetProps = Pick<OpenSheet, "change" | "saved"> & {
  draft: NonNullable<OpenSheet["draft"]>;
  save?: SaveStageProps["save"];
  onSaved: SheetEndProps["onSaved"];
};

/** What can be done besides the open stage: in another run, or in any if none is open. */
function isElsewhere(key: StageKey, opened: StageKey | null): boolean {
  return opened === null || (isOfRun(key) && (!isOfRun(opened) || runIndex(key) !== runIndex(opened)));
}

export function Sheet({ draft, change, saved, save, onSaved }: SheetProps) {
  const tubes = useStored(listTubes, ["tubes"]);
  const { source: chosen } = draft;
  const source = useStored(async () => (chosen ? await readFigures(chosen) : undefined), ["figures"], [chosen]);
  const tube = tubes?.find((one) => one.id === draft.tube);
  const settling = settlingTubes(draft);
  const now = useClock(settling.length > 0);
  const { opened, open, goOn, moved } = useOpened(draft, change);
  const end = useRef<HTMLDivElement>(null);
  useEffect(() => {
    if (opened === null && moved) end.current?.scrollIntoView({ block: "start" });
  }, [opened, moved]);
  const stages = useMemo(() => stagesOf(draft), [draft]);

  if (!tubes) return <Waiting word={labels.test.loading} />;
  const ready = reachable(draft, now);
  const stateOf = (key: StageKey): StageState => {
    if (key === opened) return "open";
    if (isComplete(key, draft, now)) return "filled";
    return ready.includes(key) && isElsewhere(key, opened) ? "ready" : "ahead";
  };
  const begin = () => {
    const index = draft.runs.length;
    change({ runs: withRun(draft.runs, index, {}) });
    open(`fill${index}`);
  };
  return (
    <>
      <SettleStrip
        tubes={settling.filter(({ index }) => opened !== `settle${index}` && opened !== `line${index}`)}
        now={now}
        onOpen={(index) =>
          open(settling.some((one) => one.index === index && one.until > now) ? `settle${index}` : `line${index}`)
        }
      />
      <div class="sheet">
        {stages.map((key, index) => (
          <Fragment key={key}>
            {key.startsWith(RUN_STAGES[0] ?? "") && (
              <RunHead
                index={runIndex(key)}
                draft={draft}
                reached={stateOf(key) !== "ahead"}
                onRuns={(runs) => change(withRuns(runs))}
                onRemoved={goOn}
              />
            )}
            <Stage
              number={index + 1}
              title={titleOf(key)}
              state={stateOf(key)}
              summary={summaryOf(key, draft, { source, tube, tubes }, now)}
              act={ready.includes(key) || key === "before" ? actOf(key, draft, now) : undefined}
              follow={moved}
              onOpen={() => open(key)}
            >
              {key === opened && (
                <StageBody
                  stage={key}
                  draft={draft}
                  tube={tube}
                  tubes={tubes}
                  change={change}
                  goOn={() => goOn(key)}
                  onRun={begin}
                />
              )}
            </Stage>
          </Fragment>
        ))}
      </div>
      <div ref={end} class="sheet-end">
        {tube && (
          <SheetEnd
            draft={draft}
            tubes={tubes}
            figures={source?.figures ?? null}
            full={opened === null}
            change={change}
            saved={saved}
            save={save}
            onRun={begin}
            onSaved={onSaved}
          />
        )}
      </div>
    </>
  );
}
