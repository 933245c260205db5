// @vitest-environment happy-dom
import { type ComponentChild, render } from "preact";
import { useClockSet } from "@/state/hooks";
import { PageProvider } from "@/state/page";
import { newPage } from "../helpers/page";

const YEAR = 365 * 86_400_000;

function Watching({ told }: { told: (by: number) => void }) {
  useClockSet(true, told);
  return null;
}

/** Leaves one screen for the next, with the clock set before or after; returns the shift that each saw, years. */
function told(set: "before" | "after"): { left: number[]; next: number[] } {
  let ahead = 0;
  const page = newPage(() => Date.now() + ahead);
  const box = document.createElement("div");
  const show = (part: ComponentChild) => render(<PageProvider value={page}>{part}</PageProvider>, box);
  const years = { left: [] as number[], next: [] as number[] };
  show(<Watching key="test" told={(by) => years.left.push(Math.round(by / YEAR))} />);
  if (set === "before") ahead = YEAR;
  show(<Watching key="log" told={(by) => years.next.push(Math.round(by / YEAR))} />);
  if (set === "after") ahead = YEAR;
  page.clock.look();
  const seen = structuredClone(years);
  render(null, box);
  return seen;
}

test("a clock set right after leaving a screen is noticed on the next", () => {
  expect(told("after")).toEqual({ left: [], next: [1] });
});

test("a clock set right before leaving a screen is noticed on it", () => {
  expect(told("before")).toEqual({ left: [1], next: [] });
});
