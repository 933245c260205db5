import { EMPTY_RUN } from "@/model/progress";
import { changeDraft, countable, loadDraft, movedBy, newDraft, saveDraft } from "@/store/drafts";
import { DEFAULTS } from "@/store/settings";
import { addSource } from "@/store/sources";
import { saveTest } from "@/store/tests";
import { entry, keeping, NOW } from "../helpers/examples";

const MINUTE = 60_000;
const YEARS = 730 * 86_400_000;
const now = NOW.getTime();
const standing = (...ends: (number | null)[]) => ({
  ...newDraft(DEFAULTS, NOW),
  runs: ends.map((settle_until) => ({ ...EMPTY_RUN, shaken: true, settle_until })),
});

test("setting the clock shifts the start of the draft and the ends of settling", () => {
  const sheet = standing(now + 4 * MINUTE, null);
  const turned = { ...sheet, runs: sheet.runs.map((one) => ({ ...one, shaken_at: now - 6 * MINUTE })) };
  const { started_at, runs } = movedBy(turned, -YEARS);
  expect(Date.parse(started_at)).toBe(now - YEARS);
  expect(runs.map((one) => one.settle_until)).toEqual([now + 4 * MINUTE - YEARS, null]);
  expect(runs.map((one) => [one.shaken_at, one.read_at])).toEqual(Array(2).fill([now - 6 * MINUTE - YEARS, null]));
});

test("an impossible settling time restarts, and all others are left alone", () => {
  const sheet = standing(now + YEARS, now + 9 * MINUTE, now - MINUTE, null);
  expect(countable(sheet, now).runs.map((one) => one.settle_until)).toEqual([
    now + 10 * MINUTE,
    now + 9 * MINUTE,
    now - MINUTE,
    null,
  ]);
  const right = standing(now + 10 * MINUTE);
  expect(countable(right, now)).toBe(right);
});

test("only a stored draft is changed, and a missing one is not created", async () => {
  await changeDraft((sheet) => ({ ...sheet, ...movedBy(sheet, YEARS) }));
  expect(await loadDraft()).toBeUndefined();
  await saveDraft(standing(now + MINUTE));
  await changeDraft((sheet) => ({ ...sheet, ...movedBy(sheet, YEARS) }));
  expect((await loadDraft())?.runs[0]?.settle_until).toBe(now + MINUTE + YEARS);
});

test("entries during or after saving the test do not bring the draft back", async () => {
  const sheet = standing(now);
  await saveDraft(sheet);
  const wanted = keeping(await addSource(entry(), true, NOW), { id: sheet.id });
  await Promise.all([saveTest(wanted, NOW), saveDraft({ ...sheet, shared: false })]);
  await saveDraft({ ...sheet, ...movedBy(sheet, YEARS) });
  expect(await loadDraft()).toBeUndefined();
  const next = newDraft(DEFAULTS, NOW);
  await saveDraft(next);
  expect((await loadDraft())?.id).toBe(next.id);
});
