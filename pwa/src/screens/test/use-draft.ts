/** The run sheet in hand: every change is on the screen at once and on the disk a moment later, in order. */

import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import { countable, dropDraft, loadDraft, movedBy, newDraft, saveDraft } from "../../store/drafts";
import { dropPhoto } from "../../store/photos";
import type { Draft } from "../../store/schema";
import { DEFAULTS, loadSettings } from "../../store/settings";
import { useClockSet } from "../../use";

/** What changes; a function is given the sheet as it is by then, for what was begun some time before. */
export type Change = (part: Partial<Draft> | ((draft: Draft) => Partial<Draft>)) => void;

export interface SheetInHand {
  /** undefined until the phone has answered. */
  draft: Draft | undefined;
  change: Change;
  /** Begins an empty sheet, or one with something entered already. */
  begin: (part?: Partial<Draft>) => void;
  /** The same, and takes the photos of the sheet in hand off the phone: it was not kept. */
  discard: (part?: Partial<Draft>) => void;
  /** Resolves when everything entered so far is on the disk. */
  saved: () => Promise<void>;
  /** The last entry could not be written. */
  unsaved: boolean;
}

export function useDraft(): SheetInHand {
  const [draft, setDraft] = useState<Draft>();
  const [unsaved, setUnsaved] = useState(false);
  const latest = useRef<Draft | null>(null);
  const queue = useRef<Promise<void>>(Promise.resolve());

  const show = useCallback((next: Draft) => {
    latest.current = next;
    setDraft(next);
  }, []);
  useEffect(() => {
    loadDraft()
      .then((found) => (found === undefined ? emptySheet() : counted(found)))
      .then(show, () => show(newDraft(DEFAULTS, new Date())));
  }, [show]);

  const write = useCallback((act: () => Promise<void>) => {
    queue.current = queue.current.then(act).then(
      () => setUnsaved(false),
      () => setUnsaved(true),
    );
  }, []);
  const change = useCallback<Change>(
    (part) => {
      if (!latest.current) return;
      const next = { ...latest.current, ...(typeof part === "function" ? part(latest.current) : part) };
      show(next);
      // An entry that was overtaken by a newer one on the same sheet need not be written any more.
      write(() => (latest.current === next ? saveDraft(next) : Promise.resolve()));
    },
    [show, write],
  );
  const begin = useCallback(
    (part: Partial<Draft> = {}) =>
      write(async () => {
        await dropDraft();
        const fresh = { ...(await emptySheet()), ...part };
        if (Object.keys(part).length > 0) await saveDraft(fresh);
        show(fresh);
      }),
    [show, write],
  );
  const discard = useCallback(
    (part: Partial<Draft> = {}) => {
      for (const digest of latest.current?.photos ?? []) write(() => dropPhoto(digest));
      begin(part);
    },
    [begin, write],
  );
  useClockSet(draft !== undefined, (by) => change((sheet) => movedBy(sheet, by)));
  const saved = useCallback(() => queue.current, []);
  return { draft, change, begin, discard, saved, unsaved };
}

/** The clock may have been set back since the sheet was left. */
async function counted(draft: Draft): Promise<Draft> {
  const next = countable(draft, Date.now());
  if (next !== draft) await saveDraft(next);
  return next;
}

async function emptySheet(): Promise<Draft> {
  return newDraft(await loadSettings(), new Date());
}
