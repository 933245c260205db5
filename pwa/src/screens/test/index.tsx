/** The place Test: one run sheet at a time. */

import { useEffect, useState } from "preact/hooks";
import { moment } from "../../format";
import { labels } from "../../labels";
import { ConfirmDialog } from "../../parts/confirm-dialog";
import { go } from "../../router";
import type { ScreenProps } from "../../shell/later";
import type { OwnTest } from "../../store/schema";
import { Kept } from "./kept";
import { Sheet } from "./sheet";
import { useDraft } from "./use-draft";

/** `#/test`, or `#/test/with/SOURCE` to begin at a source, or `#/test/with/SOURCE/can` with a can from there. */
export function TestScreen({ path }: ScreenProps) {
  const { draft, change, clear, saved, unsaved } = useDraft();
  const [kept, setKept] = useState<OwnTest | null>(null);
  const from = path[1] === "with" ? path[2] : undefined;
  const ready = draft !== undefined;
  useEffect(() => {
    if (!from || !ready) return;
    setKept(null);
    change(path[3] === "can" ? { source: from, sampled: "can" } : { source: from });
    go(["test"], true);
  }, [from, path[3], ready, change]);

  if (!draft) return <p role="status">{labels.test.loading}</p>;
  if (kept) {
    return (
      <Kept
        kept={kept}
        onAgain={() => {
          clear();
          setKept(null);
          scrollTo(0, 0);
        }}
      />
    );
  }
  const keep = (test: OwnTest) => {
    setKept(test);
    scrollTo(0, 0);
  };
  const begun = draft.source !== null || draft.runs.length > 0;
  return (
    <>
      <header class="head">
        <h1>{labels.test.title}</h1>
        <p class="quiet">{begun ? labels.test.startedAt(moment(draft.started_at)) : labels.test.lead}</p>
      </header>
      {unsaved && (
        <p class="fault" role="alert">
          {labels.test.saveFault}
        </p>
      )}
      <Sheet key={draft.id} draft={draft} change={change} saved={saved} onKept={keep} />
      {begun && <Clear onClear={clear} />}
    </>
  );
}

export default TestScreen;

function Clear({ onClear }: { onClear: () => void }) {
  const [asking, setAsking] = useState(false);
  const words = labels.test;
  return (
    <div class="leaf">
      <button type="button" class="plain" onClick={() => setAsking(true)}>
        {words.clear}
      </button>
      <ConfirmDialog
        open={asking}
        title={words.clearAsk}
        act={words.clear}
        back={words.clearBack}
        onAct={() => {
          setAsking(false);
          onClear();
          scrollTo(0, 0);
        }}
        onBack={() => setAsking(false)}
      >
        <p>{words.clearWhat}</p>
      </ConfirmDialog>
    </div>
  );
}
