/** Keep the test, and share it or not. */

import { useState } from "preact/hooks";
import type { Result } from "../../chemistry/budget";
import { labels } from "../../labels";
import { SwitchField, TextField } from "../../parts/fields";
import { isFull } from "../../store/keep";
import type { Draft, OwnTest, TubeRow } from "../../store/schema";
import { type Keeping, keepTest } from "../../store/tests";
import { sealedTest } from "./outcome";

export interface KeepStageProps {
  draft: Draft;
  tubes: readonly TubeRow[];
  found: Result;
  change: (part: Partial<Draft>) => void;
  /** Resolves when the sheet is on the disk, so that keeping does not race with it. */
  saved: () => Promise<void>;
  /** Saves it; without one, as a new test. */
  save?: ((keeping: Keeping, now: Date) => Promise<OwnTest>) | undefined;
  onKept: (test: OwnTest) => void;
}

export function KeepStage({ draft, tubes, found, change, saved, save = keepTest, onKept }: KeepStageProps) {
  const words = labels.test.keep;
  const [phase, setPhase] = useState<"idle" | "keeping" | "failed" | "full">("idle");
  const keep = async () => {
    setPhase("keeping");
    try {
      await saved();
      const now = new Date();
      const test = sealedTest(draft, tubes, found, now);
      if (test === null) throw new Error("the sheet is not complete");
      const { own_uncertainty, shared_uncertainty } = found;
      onKept(await save({ test, own_uncertainty, shared_uncertainty, shared: draft.shared }, now));
    } catch (fault) {
      console.error(fault);
      setPhase(isFull(fault) ? "full" : "failed");
    }
  };
  return (
    <section class="form leaf" aria-label={words.title}>
      <h2>{words.title}</h2>
      <details class="more" open={draft.note !== ""}>
        <summary>{words.noteAdd}</summary>
        <TextField
          label={words.note}
          value={draft.note}
          onValue={(note) => change({ note })}
          maxLength={1000}
          lines
          hint={words.noteHint}
        />
      </details>
      {!draft.corrects?.shared && (
        <SwitchField
          label={words.share}
          checked={draft.shared}
          onChecked={(shared) => change({ shared })}
          hint={words.shareHint}
        />
      )}
      <button type="button" class="main" disabled={phase === "keeping"} onClick={() => void keep()}>
        {phase === "keeping" ? words.working : wordOf(draft)}
      </button>
      {(phase === "failed" || phase === "full") && (
        <p class="fault" role="alert">
          {phase === "full" ? words.full : words.fault}
        </p>
      )}
    </section>
  );
}

function wordOf({ corrects, shared }: Draft): string {
  const { correct, keep } = labels.test;
  if (corrects) return correct.act;
  return shared ? keep.actShared : keep.act;
}
