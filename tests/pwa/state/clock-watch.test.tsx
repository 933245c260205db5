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
  const right = Date.now;
  const page = newPage();
  const show = (part: ComponentChild) => render(<PageProvider value={page}>{part}</PageProvider>, box);
  const box = document.createElement("div");
  const years = { left: [] as number[], next: [] as number[] };
  const forward = () => {
    Date.now = () => right() + YEAR;
  };
  try {
    show(<Watching key="test" told={(by) => years.left.push(Math.round(by / YEAR))} />);
    if (set === "before") forward();
    show(<Watching key="log" told={(by) => years.next.push(Math.round(by / YEAR))} />);
    if (set === "after") forward();
    page.clock.look();
    return structuredClone(years);
  } finally {
    Date.now = right;
    render(null, box);
  }
}

test("a clock that is set right after a place of the app was left is seen from the next", () => {
  expect(told("after")).toEqual({ left: [], next: [1] });
});

test("a clock that is set right before a place of the app is left is seen from there", () => {
  expect(told("before")).toEqual({ left: [1], next: [] });
});
