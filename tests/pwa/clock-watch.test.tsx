// @vitest-environment happy-dom
import { render } from "preact";
import { lookAtClock } from "@/clock-watch";
import { useClockSet } from "@/use";

const YEAR = 365 * 86_400_000;

function Watching({ told }: { told: (by: number) => void }) {
  useClockSet(true, told);
  return null;
}

test("a clock that is set right after a place of the app was left is still seen from the next", () => {
  const right = Date.now;
  const box = document.createElement("div");
  const told: number[] = [];
  try {
    render(<Watching key="test" told={() => undefined} />, box);
    render(<Watching key="log" told={(by) => told.push(by)} />, box);
    Date.now = () => right() + YEAR;
    lookAtClock();
    expect(told.map((by) => Math.round(by / YEAR))).toEqual([1]);
  } finally {
    Date.now = right;
    render(null, box);
  }
});
