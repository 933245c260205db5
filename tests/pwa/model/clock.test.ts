import { behindBy, isOff, type Moment, setBetween } from "@/model/clock";

const NOON = Date.parse("2026-03-12T12:00:00Z");
const MINUTE = 60_000;
const DAY = 24 * 60 * MINUTE;

describe("the phone's clock against the server's", () => {
  test.each([
    // The header is truncated to whole seconds, so half a second is added.
    ["right", NOON, NOON + 1000, 0],
    ["two years behind", NOON - 730 * DAY, NOON - 730 * DAY + 1000, 730 * DAY],
    ["three hours ahead", NOON + 180 * MINUTE, NOON + 180 * MINUTE + 1000, -180 * MINUTE],
  ])("%s", (_, asked, answered, behind) => {
    expect(behindBy("Thu, 12 Mar 2026 12:00:00 GMT", asked, answered)).toBe(behind);
  });

  test.each([
    ["no header", null, NOON, NOON],
    ["a header that is no time", "soon", NOON, NOON],
    ["an answer that was set back on its way", "Thu, 12 Mar 2026 12:00:00 GMT", NOON, NOON - 1],
    ["an answer that took a quarter of an hour", "Thu, 12 Mar 2026 12:00:00 GMT", NOON, NOON + 15 * MINUTE],
  ])("%s tells nothing", (_, said, asked, answered) => {
    expect(behindBy(said, asked, answered)).toBeNull();
  });

  test.each([
    [null, false],
    [0, false],
    [9 * MINUTE, false],
    [10 * MINUTE, true],
    [-10 * MINUTE, true],
  ])("%s ms is off: %s", (behind, off) => {
    expect(isOff(behind)).toBe(off);
  });
});

describe("a clock that was set while the page was there", () => {
  const before: Moment = { wall: NOON, steady: 1000, unseen: false };
  const after = (wall: number, steady: number, unseen = false): Moment => ({
    wall: NOON + wall,
    steady: 1000 + steady,
    unseen,
  });

  test.each([
    ["a second passes", after(1000, 1000), 0],
    ["a busy page looks late", after(61_000, 61_000), 0],
    ["a nudge from the network", after(1800, 1000), 0],
    ["set forward by two years while the page is visible", after(730 * DAY + 1000, 1000), 730 * DAY],
    ["set forward by an hour while the page is visible", after(60 * MINUTE + 1000, 1000), 60 * MINUTE],
    ["set back by an hour while the page is visible", after(-60 * MINUTE + 1000, 1000), -60 * MINUTE],
    ["asleep for nine minutes, and the steady clock with it", after(9 * MINUTE, 10, true), 0],
    ["set back while it was hidden: no sleep does that", after(-9 * MINUTE, 1000, true), -9 * MINUTE - 1000],
    ["set forward by two years while it was hidden: no sleep is so long", after(730 * DAY, 0, true), 730 * DAY],
  ])("%s", (_, then, by) => {
    expect(setBetween(before, then)).toBe(by);
  });
});
