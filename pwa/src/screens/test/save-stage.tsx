/** Saving the test, and sharing it or not. */

import { useId, useRef, useState } from "preact/hooks";
import type { Result } from "../../chemistry/budget";
import { labels } from "../../i18n";
import type { Draft } from "../../rows/draft";
import type { OwnTest } from "../../rows/test";
import type { TubeRow } from "../../rows/tube";
import { usePage } from "../../state/page";
import { settings } from "../../state/signals";
import { isFull } from "../../store/keep";
import { type NewTest, saveTest } from "../../store/tests";
import { SwitchField, TextField } from "../../widgets/fields";
import { PhotoChoices } from "../../widgets/photo-choices";
import { sealedTest } from "../shared/result/outcome";

/** ms without a word about it: most disks are faster, and a word that flashes by delays what follows. */
const QUIET = 200;

export interface SaveStageProps {
  draft: Draft;
  tubes: readonly TubeRow[];
  found: Result;
  change: (part: Partial<Draft>) => void;
  /** Resolves when the sheet is on the disk, so that saving the test does not race with it. */
  saved: () => Promise<void>;
  /** Saves it; if omitted, as a new test. */
  save?: ((keeping: NewTest, now: Date) => Promise<OwnTest>) | undefined;
  onSaved: (test: OwnTest) => void;
}

export function SaveStage({ draft, tubes, found, change, saved, save = saveTest, onSaved }: SaveStageProps) {
  const words = labels.test.keep;
  const { live } = usePage();
  const [phase, setPhase] = useState<"idle" | "keeping" | "failed" | "full">("idle");
  const busy = useRef(false);
  const isShared = draft.corrects?.shared === true;
  const isOpen = !isShared && settings.value.share === null;
  const photos = [...draft.photos, ...(draft.corrects?.loose ?? [])];
  const keep = async (shared = draft.shared) => {
    if (busy.current) return;
    busy.current = true;
    setPhase("idle");
    const waiting = setTimeout(() => setPhase("keeping"), QUIET);
    try {
      await saved();
      const now = new Date();
      const test = sealedTest(draft, tubes, found, now);
      if (test === null) throw new Error("the sheet is not complete");
      const { own_uncertainty, shared_uncertainty } = found;
      const kept = await save({ test, own_uncertainty, shared_uncertainty, shared, ...leftOut(draft, photos) }, now);
      if (isOpen) await live.chooseSettings({ share: shared });
      onSaved(kept);
    } catch (fault) {
      console.error(fault);
      setPhase(isFull(fault) ? "full" : "failed");
    } finally {
      clearTimeout(waiting);
      busy.current = false;
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
      {!isShared && !isOpen && (
        <SwitchField
          label={words.share}
          checked={draft.shared}
          onChecked={(shared) => change({ shared })}
          hint={words.shareHint}
        />
      )}
      {(draft.shared || isOpen) && (
        <PhotoChoices
          digests={photos}
          unshared={draft.unshared_photos ?? []}
          onUnshared={(unshared_photos) => change({ unshared_photos })}
        />
      )}
      {isOpen ? (
        <Decision busy={phase === "keeping"} onDecided={(shared) => void keep(shared)} />
      ) : (
        <button type="button" class="main" disabled={phase === "keeping"} onClick={() => void keep()}>
          {phase === "keeping" ? words.working : wordOf(draft)}
        </button>
      )}
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

/** Which of the sheet's photos stay on this phone. */
function leftOut({ unshared_photos = [] }: Draft, photos: string[]): Pick<NewTest, "unshared_photos"> {
  return { unshared_photos: unshared_photos.filter((digest) => photos.includes(digest)) };
}

/** Asked once: what is public cannot be undone, so neither answer is the easier one. */
function Decision({ busy, onDecided }: { busy: boolean; onDecided: (shared: boolean) => void }) {
  const words = labels.test.keep;
  const id = useId();
  return (
    <section class="form" aria-labelledby={id}>
      <h3 id={id}>{words.ask}</h3>
      <p>{words.shareHint}</p>
      <p class="hint">{words.askHint}</p>
      <div class="buttons equal">
        {[true, false].map((shared) => (
          <button key={String(shared)} type="button" disabled={busy} onClick={() => onDecided(shared)}>
            {shared ? words.actShared : words.act}
          </button>
        ))}
      </div>
      {busy && <p role="status">{words.working}</p>}
    </section>
  );
}
