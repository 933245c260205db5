// @vitest-environment happy-dom
import { type ComponentChild, render } from "preact";
import { useClockSet } from "@/state/hooks";
import { PageProvider } from "@/state/page";
import { newPage } from "../page";

const YEAR = 365 * 86_400_000;

function Watching({ told }: { told: (by: number) => void }) {
  useClockSet(true, told);
  return null;
}

/** Leaves one place of the app for the next, with the clock set before or after that; gives what each was told, years. */
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

test("a clock that is set right after a place of the app was left is seen from the next", () => {
  expect(told("after")).toEqual({ left: [], next: [1] });
});

test("a clock that is set right before a place of the app is left is seen from there", () => {
  expect(told("before")).toEqual({ left: [1], next: [] });
});
