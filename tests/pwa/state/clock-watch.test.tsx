// @vitest-environment happy-dom
import { render } from "preact";
import { lookAtClock } from "@/state/clock-watch";
import { useClockSet } from "@/state/hooks";

const YEAR = 365 * 86_400_000;

function Watching({ told }: { told: (by: number) => void }) {
  useClockSet(true, told);
  return null;
}

/** Leaves one screen for the next, with the clock set before or after; returns the shift that each saw, years. */
function told(set: "before" | "after"): { left: number[]; next: number[] } {
  const right = Date.now;
  const box = document.createElement("div");
  const years = { left: [] as number[], next: [] as number[] };
  const forward = () => {
    Date.now = () => right() + YEAR;
  };
  try {
    render(<Watching key="test" told={(by) => years.left.push(Math.round(by / YEAR))} />, box);
    if (set === "before") forward();
    render(<Watching key="log" told={(by) => years.next.push(Math.round(by / YEAR))} />, box);
    if (set === "after") forward();
    lookAtClock();
    return structuredClone(years);
  } finally {
    Date.now = right;
    render(null, box);
  }
}

test("a clock set right after leaving a screen is noticed on the next", () => {
  expect(told("after")).toEqual({ left: [], next: [1] });
});

test("a clock set right before leaving a screen is noticed on it", () => {
  expect(told("before")).toEqual({ left: [1], next: [] });
});
