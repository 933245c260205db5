/** The run sheet in hand: every change is on the screen at once and on the disk a moment later, in order. */

import { useCallback, useEffect, useRef, useState } from "preact/hooks";
import { countable, dropDraft, inTurn, loadDraft, movedBy, newDraft, saveDraft } from "../../store/drafts";
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
  const setWhileReading = useRef(0);

  const show = useCallback((next: Draft) => {
    latest.current = next;
    setDraft(next);
  }, []);
  const write = useCallback((act: () => Promise<void>) => {
    void inTurn(act).then(
      () => setUnsaved(false),
      () => setUnsaved(true),
    );
  }, []);
  const change = useCallback<Change>(
    (part) => {
      const old = latest.current;
      if (old === null) return;
      const asked = typeof part === "function" ? part(old) : part;
      if (asked === old) return;
      const next = { ...old, ...asked };
      show(next);
      // An entry that was overtaken by a newer one on the same sheet need not be written any more.
      write(() => (latest.current === next ? saveDraft(next) : Promise.resolve()));
    },
    [show, write],
  );
  useEffect(() => {
    const takeUp = (sheet: Draft) => {
      show(sheet);
      if (setWhileReading.current !== 0) change((old) => movedBy(old, setWhileReading.current));
      // The clock may have been set back before the page was opened.
      change((old) => countable(old, Date.now()));
    };
    inTurn(loadDraft)
      .then(async (found) => (found === undefined ? show(await emptySheet()) : takeUp(found)))
      .catch(() => show(newDraft(DEFAULTS, new Date())));
  }, [show, change]);
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
  useClockSet(true, (by) => {
    if (latest.current === null) setWhileReading.current += by;
    else change((sheet) => movedBy(sheet, by));
  });
  const saved = useCallback(() => inTurn(() => Promise.resolve()), []);
  return { draft, change, begin, discard, saved, unsaved };
}

async function emptySheet(): Promise<Draft> {
  return newDraft(await loadSettings(), new Date());
}
