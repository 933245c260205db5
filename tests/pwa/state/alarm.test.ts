// @vitest-environment happy-dom
import { Alarm, type Waiting } from "@/state/alarm";

const START = Date.parse("2026-03-12T10:00:00Z");
const MINUTE = 60_000;

const tube = (index: number, minutes: number): Waiting => ({
  index,
  until: START + minutes * MINUTE,
  message: { title: `run ${index + 1}`, body: "" },
});

let shakes: number[];
let alarm: Alarm;
beforeEach(() => {
  vi.useFakeTimers({ now: START });
  shakes = [];
  alarm = new Alarm(() => shakes.push((Date.now() - START) / MINUTE));
});
afterEach(() => {
  vi.useRealTimers();
});

it("sounds for each tube at its own time", () => {
  alarm.set([tube(0, 10)]);
  vi.advanceTimersByTime(3 * MINUTE);
  alarm.set([tube(0, 10), tube(1, 13)]);
  vi.advanceTimersByTime(30 * MINUTE);
  expect(shakes).toEqual([10, 13]);
});

it("stays silent for a removed tube and for one whose time was already up", () => {
  alarm.set([tube(0, 10), tube(1, -1)]);
  alarm.set([tube(1, -1)]);
  vi.advanceTimersByTime(30 * MINUTE);
  expect(shakes).toEqual([]);
});

it("follows a restarted timer", () => {
  alarm.set([tube(0, 10)]);
  alarm.set([tube(0, 12)]);
  vi.advanceTimersByTime(30 * MINUTE);
  expect(shakes).toEqual([12]);
});
