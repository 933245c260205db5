/** The run sheet in hand: every change is on the screen at once and on the disk a moment later, in order. */

import { useCallback, useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { changeDraft, countable, dropDraft, inTurn, loadDraft, movedBy, newDraft, saveDraft } from "../../store/drafts";
import { recordId } from "../../store/identity";
import { dropPhoto } from "../../store/photos";
import type { Draft } from "../../store/schema";
import { DEFAULTS, loadSettings } from "../../store/settings";
import { useClockSet } from "../../use";

/** What changes; a function is given the sheet as it is by then, for what was begun some time before. */
export type Change = (part: Part) => void;

type Part = Partial<Draft> | ((draft: Draft) => Partial<Draft>);

const asked = (part: Part, draft: Draft) => (typeof part === "function" ? part(draft) : part);

/** Changes the sheet where it is in hand now; null while no screen has it. */
let inHand: Change | null = null;

/** What was begun on a screen that was left, as a photo that is made small: it is for the same sheet, wherever that is. */
function changeLate(id: string, part: Part): void {
  const onlyThis = (sheet: Draft) => (sheet.id === id ? asked(part, sheet) : sheet);
  if (inHand !== null) inHand(onlyThis);
  else void inTurn(() => changeDraft((sheet) => (sheet.id === id ? { ...sheet, ...asked(part, sheet) } : sheet)));
}

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
  const here = useRef(true);
  /** What came before the phone had answered. */
  const early = useRef<Part[]>([]);

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
      if (old === null) {
        early.current.push(part);
        return;
      }
      if (!here.current) {
        changeLate(old.id, part);
        return;
      }
      const changed = asked(part, old);
      if (changed === old) return;
      const next = { ...old, ...changed };
      show(next);
      // An entry that was overtaken by a newer one on the same sheet need not be written any more.
      write(() => (latest.current === next ? saveDraft(next) : Promise.resolve()));
    },
    [show, write],
  );
  useEffect(() => {
    const takeUp = (sheet: Draft) => {
      show(sheet);
      for (const part of early.current) change(part);
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
  useClockSet(true, (by) => change((sheet) => movedBy(sheet, by)));
  useLayoutEffect(() => {
    inHand = change;
    return () => {
      here.current = false;
      if (inHand === change) inHand = null;
    };
  }, [change]);
  const saved = useCallback(() => inTurn(() => Promise.resolve()), []);
  return { draft, change, begin, discard, saved, unsaved };
}

async function emptySheet(): Promise<Draft> {
  const now = new Date();
  return newDraft(await loadSettings(), now, await recordId(now));
}
