// @vitest-environment happy-dom
import { remaining, SettleClock } from "@/widgets/settle-clock";
import { act, type Mounted, mount, unmount } from "../helpers/mount";
import { soon } from "../helpers/soon";

const START = Date.parse("2026-03-12T10:00:00Z");
const MINUTE = 60_000;

interface Counted {
  started: number[];
  skipped: number[];
  done: number;
}

/** A wall clock that the test sets by hand. */
function clockAt(time: number, until: number | null, counted: Counted) {
  const wall = { time };
  const part = (shown: number | null) => (
    <SettleClock
      minutes={10}
      until={shown}
      onStart={(at) => counted.started.push(at)}
      onSkip={(at) => counted.skipped.push(at)}
      onDone={() => {
        counted.done += 1;
      }}
      now={() => wall.time}
    />
  );
  const page = mount(part(until));
  return { wall, page, show: (shown: number | null) => page.again(part(shown)) };
}

function wake(): void {
  act(() => {
    document.dispatchEvent(new Event("visibilitychange"));
  });
}

const timer = (page: Mounted) => page.root.querySelector("[role=timer]")?.textContent;

let counted: Counted;
beforeEach(() => {
  counted = { started: [], skipped: [], done: 0 };
});
afterEach(unmount);

describe("the settle clock", () => {
  it("does not run before it is started, and then counts down to a wall-clock time", () => {
    const { page } = clockAt(START, null, counted);
    expect(timer(page)).toBeUndefined();
    page.button("Start the 10-minute timer").click();
    expect(counted.started).toEqual([START + 10 * MINUTE]);
  });

  it("shows the remaining time rounded up to the second", () => {
    const { page } = clockAt(START, START + 9 * MINUTE + 4_200, counted);
    expect(timer(page)).toBe("9:05");
  });

  it("is right after the phone slept through the end, and alarms once", () => {
    const { wall, page } = clockAt(START, START + 10 * MINUTE, counted);
    expect(timer(page)).toBe("10:00");
    wall.time = START + 14 * MINUTE;
    wake();
    expect(timer(page)).toBeUndefined();
    expect(page.text()).toContain("up 4 min ago");
    expect(counted.done).toBe(1);
    wake();
    expect(counted.done).toBe(1);
  });

  it("is right after a short sleep too", () => {
    const { wall, page } = clockAt(START, START + 10 * MINUTE, counted);
    wall.time = START + 7 * MINUTE + 30_000;
    wake();
    expect(timer(page)).toBe("2:30");
    expect(counted.done).toBe(0);
  });

  it("says how long ago time was up after a killed page, without a late alarm", () => {
    const { page } = clockAt(START + 13 * MINUTE, START + 10 * MINUTE, counted);
    expect(page.text()).toContain("up 3 min ago");
    expect(counted.done).toBe(0);
  });

  it("never counts longer than the full time when the phone's clock is set back", () => {
    const { page } = clockAt(START - 300 * MINUTE, START + 10 * MINUTE, counted);
    expect(timer(page)).toBe("10:00");
    expect(remaining(START + 10 * MINUTE, 10, START - 300 * MINUTE)).toBe(10 * MINUTE);
  });

  it("can be skipped before and during the run, and restarted afterwards", () => {
    const { wall, page, show } = clockAt(START, null, counted);
    page.button("It has settled, skip the timer").click();
    show(START + 10 * MINUTE);
    wall.time = START + MINUTE;
    page.button("It has settled, skip the timer").click();
    expect(counted.skipped).toEqual([START, START + MINUTE]);
    show(START + MINUTE);
    page.button("Restart the timer").click();
    expect(counted.started).toEqual([START + 11 * MINUTE]);
  });

  it("ticks while the page is awake", async () => {
    const { wall, page } = clockAt(START, START + 10 * MINUTE, counted);
    wall.time = START + 10 * MINUTE;
    await soon(() => expect(counted.done).toBe(1));
    await soon(() => expect(timer(page)).toBeUndefined());
  });
});
