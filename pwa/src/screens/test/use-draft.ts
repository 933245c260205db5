/** The open run sheet: every change is on the screen at once and on the disk a moment later, in order. */

import { useCallback, useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import type { Draft } from "../../rows/draft";
import type { PhotoRow } from "../../rows/photo";
import { useClockSet } from "../../state/hooks";
import { usePage } from "../../state/page";
import type { Change, Part, Sheets } from "../../state/sheets";
import { changeDraft, countable, dropDraft, loadDraft, movedBy, newDraft, SHEET, saveDraft } from "../../store/drafts";
import { recordId } from "../../store/identity";
import { dropPhotos, putPhotosBack } from "../../store/photos";
import { DEFAULTS, loadSettings } from "../../store/settings";

export type { Change };

const asked = (part: Part, draft: Draft) => (typeof part === "function" ? part(draft) : part);

/**
 * Applies what was started on a screen that was left, such as shrinking a photo: it belongs to the same sheet, wherever
 * that is open now.
 */
function changeLate(sheets: Sheets, key: string, id: string, part: Part): void {
  const onlyThis = (sheet: Draft) => (sheet.id === id ? asked(part, sheet) : sheet);
  const onDisk = (sheet: Draft) => (sheet.id === id ? { ...sheet, ...asked(part, sheet) } : sheet);
  const change = sheets.openSheet(key);
  if (change) change(onlyThis);
  else void sheets.inTurn(() => changeDraft(onDisk, key));
}

/** Where a sheet is stored, and how to create it. Both stay the same while a screen shows it. */
export interface SheetPlace {
  key: string;
  fresh: () => Promise<Draft>;
}

const RUN_SHEET: SheetPlace = { key: SHEET, fresh: emptySheet };

/** Restores a discarded sheet with its photos, replacing the present one. */
async function putBack(sheets: Sheets, key: string, old: Draft, photos: Promise<PhotoRow[]>): Promise<void> {
  await putPhotosBack(await photos);
  const change = sheets.openSheet(key);
  if (change) change(() => old);
  else await sheets.inTurn(() => saveDraft(old, key));
}

export interface OpenSheet {
  /** undefined until it is loaded. */
  draft: Draft | undefined;
  change: Change;
  /** Starts an empty sheet, or one with some entries. */
  begin: (part?: Partial<Draft>) => void;
  /** The same, and deletes the photos of the unsaved sheet. Returns a function that undoes it. */
  discard: (part?: Partial<Draft>) => () => void;
  /** Resolves when all entries so far are on the disk. */
  saved: () => Promise<void>;
  /** The last entry could not be written. */
  unsaved: boolean;
}

export function useDraft(sheet = RUN_SHEET): OpenSheet {
  const { sheets } = usePage();
  const { inTurn } = sheets;
  const [draft, setDraft] = useState<Draft>();
  const [unsaved, setUnsaved] = useState(false);
  const latest = useRef<Draft | null>(null);
  const here = useRef(true);
  /** Changes made before the sheet was loaded. */
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
        changeLate(sheets, sheet.key, old.id, part);
        return;
      }
      const changed = asked(part, old);
      if (changed === old) return;
      const next = { ...old, ...changed };
      show(next);
      // An entry followed by a newer one on the same sheet need not be written.
      write(() => (latest.current === next ? saveDraft(next, sheet.key) : Promise.resolve()));
    },
    [show, write, sheet],
  );
  useEffect(() => {
    const takeUp = (found: Draft) => {
      show(found);
      for (const part of early.current) change(part);
      // The clock may have been set back before the page was opened.
      change((old) => countable(old, Date.now()));
    };
    inTurn(() => loadDraft(sheet.key))
      .then(async (found) => (found === undefined ? show(await sheet.fresh()) : takeUp(found)))
      .catch(() => show(newDraft(DEFAULTS, new Date())));
  }, [show, change, sheet]);
  const begin = useCallback(
    (part: Partial<Draft> = {}) =>
      write(async () => {
        await dropDraft(sheet.key);
        const fresh = { ...(await sheet.fresh()), ...part };
        if (Object.keys(part).length > 0) await saveDraft(fresh, sheet.key);
        show(fresh);
      }),
    [show, write, sheet],
  );
  const discard = useCallback(
    (part: Partial<Draft> = {}) => {
      const old = latest.current;
      const photos = inTurn(() => dropPhotos(old?.photos ?? []));
      begin(part);
      return () => void (old && putBack(sheets, sheet.key, old, photos));
    },
    [begin, sheet],
  );
  useClockSet(true, (by) => change((old) => movedBy(old, by)));
  useLayoutEffect(() => {
    const putDown = sheets.take(sheet.key, change);
    return () => {
      here.current = false;
      putDown();
    };
  }, [change, sheet]);
  const saved = useCallback(() => inTurn(() => Promise.resolve()), []);
  return { draft, change, begin, discard, saved, unsaved };
}

async function emptySheet(): Promise<Draft> {
  const now = new Date();
  return newDraft(await loadSettings(), now, await recordId(now));
}
