/** The place Test: one run sheet at a time. */

import { useEffect, useState } from "preact/hooks";
import { labels } from "../../i18n";
import { moment } from "../../i18n/format";
import type { Draft } from "../../rows/draft";
import { useStored } from "../../state/hooks";
import { go, to } from "../../state/router";
import { readFact } from "../../store/settings";
import { countTests } from "../../store/tests";
import { ConfirmDialog } from "../../widgets/confirm-dialog";
import { lazy, type ScreenProps } from "../../widgets/lazy";
import { offerUndo } from "../../widgets/undo";
import { Waiting } from "../../widgets/waiting";
import { ClockNotice } from "../shared/clock-notice";
import { Sheet } from "./sheet";
import type { SavedPage } from "./sheet-end";
import { type OpenSheet, useDraft } from "./use-draft";

/** Only people who have never tested need this code at once. */
const Method = lazy<object>(() => import("../shared/method"), "first");

const Correct = lazy<{ id: string }>(() => import("./correct"));

/** `#/test`, or `#/test/with/SOURCE` to start at a source, or `#/test/with/SOURCE/can` with a can from there. */
export function TestScreen({ path }: ScreenProps) {
  const [, word, id] = path;
  return word === "correct" && id ? <Correct key={id} id={id} /> : <RunSheet path={path} />;
}

function RunSheet({ path }: ScreenProps) {
  const sheet = useDraft();
  const { draft, change, begin, discard, saved, unsaved } = sheet;
  const [kept, setKept] = useState<{ page: SavedPage } | null>(null);
  const isKnown = useStored(knowsTheTest, ["settings"]);
  if (!draft || isKnown === undefined) return <Waiting word={labels.test.loading} />;
  const begun = draft.source !== null || draft.runs.length > 0;
  const wanted = entryOf(path);
  if (wanted) {
    return <BeginAt wanted={wanted} kept={kept !== null} sheet={{ ...sheet, draft }} onBegun={() => setKept(null)} />;
  }
  if (kept) {
    const again = () => {
      begin();
      setKept(null);
      scrollTo(0, 0);
    };
    return kept.page(again);
  }
  const keep = (page: SavedPage) => {
    setKept({ page });
    scrollTo(0, 0);
  };
  if (!isKnown && !begun) return <Method />;
  return (
    <>
      <header class="head">
        <h1>{labels.test.title}</h1>
        <p class="quiet">{begun ? labels.test.startedAt(moment(draft.started_at)) : labels.test.lead}</p>
        {!begun && (
          <p>
            <a class="button plain" href={to("method")}>
              {labels.method.open}
            </a>
          </p>
        )}
      </header>
      <ClockNotice />
      {unsaved && (
        <p class="fault" role="alert">
          {labels.test.saveFault}
        </p>
      )}
      <Sheet key={draft.id} draft={draft} change={change} saved={saved} onSaved={keep} />
      {begun && <Clear onClear={discard} />}
    </>
  );
}

export default TestScreen;

/** The method was shown on this phone, or a test done. */
async function knowsTheTest(): Promise<boolean> {
  return (await readFact("method_seen")) === true || (await countTests()) > 0;
}

type Entry = Pick<Draft, "source"> & Partial<Pick<Draft, "sampled">>;

/** What the URL asks to start with. */
function entryOf([, word, source, sampled]: string[]): Entry | null {
  if (word !== "with" || !source) return null;
  return sampled === "can" ? { source, sampled } : { source };
}

interface BeginAtProps {
  wanted: Entry;
  /** The open sheet is already a saved test. */
  kept: boolean;
  sheet: OpenSheet & { draft: Draft };
  onBegun: () => void;
}

/** Enters the source; asks before overwriting a sheet that has runs of another sample. */
function BeginAt({ wanted, kept, sheet, onBegun }: BeginAtProps) {
  const words = labels.test;
  const { draft, change, begin, discard } = sheet;
  const busy = !kept && draft.runs.length > 0;
  const leave = () => go(["test"], true);
  // Once per URL: it changes the sheet that it reads.
  useEffect(() => {
    if (busy) return;
    if (kept) begin(wanted);
    else change(wanted);
    onBegun();
    leave();
  }, []);
  return (
    <ConfirmDialog
      open={busy}
      title={words.busyAsk}
      act={words.busyNew}
      back={words.clearBack}
      onAct={() => {
        discard(wanted);
        leave();
      }}
      onBack={leave}
    >
      <p>{words.busyWhat}</p>
    </ConfirmDialog>
  );
}

function Clear({ onClear }: { onClear: OpenSheet["discard"] }) {
  const clear = () => {
    offerUndo(labels.parts.undo.sheet, onClear());
    scrollTo(0, 0);
  };
  return (
    <div class="leaf">
      <button type="button" class="plain" onClick={clear}>
        {labels.test.clear}
      </button>
    </div>
  );
}
