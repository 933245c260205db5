/** While tubes settle: alarms, the screen wake lock, and timers in every place except Test, which has its own. */

import { useEffect } from "preact/hooks";
import { labels } from "../i18n";
import { number } from "../i18n/format";
import { useClock, useClockSet, useStored } from "../state/hooks";
import { usePage } from "../state/page";
import { go } from "../state/router";
import { changeDraft, countable, loadDraft, movedBy, settlingTubes } from "../store/drafts";
import { SettleStrip } from "../widgets/settle-strip";
import { useAwake } from "../widgets/use-awake";

export function Settling({ place }: { place: string }) {
  const { alarm, sheets } = usePage();
  const { inTurn } = sheets;
  const draft = useStored(loadDraft, ["drafts"]);
  const tubes = settlingTubes(draft);
  const now = useClock(tubes.length > 0);
  const words = labels.parts;
  const isElsewhere = place !== "test";
  // The Test place holds the open sheet in memory and corrects it itself.
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
