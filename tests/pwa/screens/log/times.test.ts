import { follow, latestNow, moved, timesFault } from "@/screens/log/times";

const NOW = Date.parse("2026-03-12T14:00:00Z");
const DAY = 86_400_000;
const times = { sampled_at: "2024-03-12T12:30:00Z", tested_at: "2024-03-12T13:00:00Z" };
const at = (text: string) => Date.parse(text);

test("both times are shifted by the clock's lag", () => {
  const { sampled_at, tested_at } = moved(times, 730 * DAY);
  expect([at(sampled_at), at(tested_at)]).toEqual([at("2026-03-12T12:30:00Z"), at("2026-03-12T13:00:00Z")]);
});

test("moving a sample past its test moves the test too, and an earlier time does not", () => {
  expect(at(follow(times, "2026-03-12T12:30:00Z").tested_at)).toBe(at("2026-03-12T13:00:00Z"));
  expect(follow(times, "2024-03-10T12:30:00Z")).toEqual({ ...times, sampled_at: "2024-03-10T12:30:00Z" });
});

test("a phone with a slow clock accepts times ahead of its own", () => {
  expect(latestNow(NOW, 730 * DAY)).toBe(NOW + 730 * DAY);
  expect(latestNow(NOW, -730 * DAY)).toBe(NOW);
  expect(latestNow(NOW, null)).toBe(NOW);
});

test.each([
  ["2026-03-12T12:30:00Z", "2026-03-12T13:00:00Z", null],
  // The server allows an hour for a clock set between sampling and testing.
  ["2026-03-12T13:50:00Z", "2026-03-12T13:00:00Z", null],
  ["2026-03-12T13:50:00Z", "2026-03-12T12:49:00Z", { field: "sampled_at", code: "order" }],
  ["2026-03-12T14:01:00Z", "2026-03-12T13:59:00Z", { field: "sampled_at", code: "ahead" }],
  ["2026-03-12T13:00:00Z", "2028-03-12T13:59:00Z", { field: "tested_at", code: "ahead" }],
  ["1970-01-01T00:00:00Z", "2026-03-12T13:59:00Z", { field: "sampled_at", code: "early" }],
  ["2000-01-01T00:00:00Z", "1999-12-31T23:59:00Z", { field: "tested_at", code: "early" }],
])("sampled %s, tested %s: %o", (sampled_at, tested_at, fault) => {
  expect(timesFault({ sampled_at, tested_at }, NOW)).toEqual(fault);
});
