import { rank } from "@/model/ranking";
import type { FiguresRow } from "@/rows/source";
import { NOW } from "../helpers/examples";

function row(name: string, figures: { tau_bound: number; floor: number; evidence: number } | null, latitude = 45) {
  const whole = figures === null ? null : { ...figures, typical: 80 };
  return { source: name, name, latitude, longitude: 2.5, figures: whole, computed_at: NOW.toISOString() } as FiguresRow;
}

const rows = [
  row("steady", { tau_bound: 1, floor: 70, evidence: 1 }, 46),
  row("high", { tau_bound: 3, floor: 80, evidence: 3 }, 45.5),
  row("near", { tau_bound: 2, floor: 60, evidence: 0 }, 45.1),
  row("empty", null, 45.05),
];
const here = { latitude: 45, longitude: 2.5 };
const names = (order: Parameters<typeof rank>[1]) => rank(rows, order, here).ranked.map((one) => one.name);

test("sources are sorted in three orders, with untested ones apart", () => {
  expect(names("steadiest")).toEqual(["steady", "near", "high"]);
  expect(names("floor")).toEqual(["high", "steady", "near"]);
  expect(names("nearest")).toEqual(["near", "high", "steady"]);
  expect(rank(rows, "floor", here).unsampled.map((one) => one.name)).toEqual(["empty"]);
});

test("ties are broken by evidence", () => {
  const even = [row("b", { tau_bound: 1, floor: 70, evidence: 1 }), row("a", { tau_bound: 1, floor: 70, evidence: 2 })];
  expect(rank(even, "steadiest", here).ranked.map((one) => one.name)).toEqual(["a", "b"]);
});

test("sources of unknown distance come last, or all by evidence if the phone's own position is unknown", () => {
  const lost = { ...row("lost", { tau_bound: 1, floor: 70, evidence: 2 }), latitude: null };
  const order = (from: typeof here | null) => rank([lost, ...rows], "nearest", from).ranked.map((one) => one.name);
  expect(order(here)).toEqual(["near", "high", "steady", "lost"]);
  expect(order(null)).toEqual(["high", "lost", "steady", "near"]);
});
