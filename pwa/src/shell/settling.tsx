/** While tubes settle: their alarms, the screen that stays on, and their clocks in every place but Test, which has its own. */

import { useEffect } from "preact/hooks";
import { labels } from "../i18n";
import { number } from "../i18n/format";
import { useClock, useClockSet, useStored } from "../state/hooks";
import { usePage } from "../state/page";
import { go } from "../state/router";
import { changeDraft, countable, loadDraft, movedBy, standingTubes } from "../store/drafts";
import { SettleStrip } from "../widgets/settle-strip";
import { useAwake } from "../widgets/use-awake";

export function Settling({ place }: { place: string }) {
  const { alarm, sheets } = usePage();
  const { inTurn } = sheets;
  const draft = useStored(loadDraft, ["drafts"]);
  const tubes = standingTubes(draft);
  const now = useClock(tubes.length > 0);
  const words = labels.parts;
  const isElsewhere = place !== "test";
  // On its own place the sheet is in hand there, and is put right there.
  useClockSet(
    isElsewhere && tubes.length > 0,
    (by) => void inTurn(() => changeDraft((sheet) => ({ ...sheet, ...movedBy(sheet, by) }))),
  );
  useEffect(() => {
    if (isElsewhere && tubes.length > 0) void inTurn(() => changeDraft((sheet) => countable(sheet, Date.now())));
  }, [isElsewhere, tubes.length > 0]);
  useAwake(tubes.some(({ until }) => until > now));
  useEffect(() => {
    const message = (index: number) => ({
      title: words.clockNotifyTitle(number(index + 1, 0)),
      body: words.clockNotifyBody,
    });
    alarm.set(tubes.map((tube) => ({ ...tube, message: message(tube.index) })));
  }, [draft]);
  if (!isElsewhere) return null;
  return <SettleStrip tubes={tubes} now={now} onOpen={() => go(["test"])} />;
}
