/** The sketch as the build wrote it, against places of known region (GeoNames, see fixtures/places.csv). */

import { readFileSync } from "node:fs";
import written from "@built/sketch.json";
import type { Point } from "@/position";
import { type Polygon, Sketch } from "@/sketch";

const sketch = new Sketch(written);
const drawn = [...sketch.names.keys()].filter((code) => sketch.outline(code) !== null);

interface Known extends Point {
  codes: string[];
}

/** The world sample of places; no name before the fourth column holds a comma that is not quoted. */
function places(): Known[] {
  const text = readFileSync(new URL("../../fixtures/places.csv", import.meta.url), "utf8");
  const [head = "", ...lines] = text.split(/\r?\n/).filter((line) => line !== "" && !line.startsWith("#"));
  const at = (name: string) => head.split(",").indexOf(name);
  return lines
    .map((line) => [...line.matchAll(/("[^"]*"|[^,]*)(?:,|$)/g)].map((found) => found[1] ?? ""))
    .filter((cells) => cells[at("sample")] === "world")
    .map((cells) => ({
      latitude: Number(cells[at("latitude")]),
      longitude: Number(cells[at("longitude")]),
      codes: (cells[at("codes")] ?? "").split(" "),
    }));
}

/** Even-odd rule. */
function holds(polygons: readonly Polygon[], { latitude, longitude }: Point): boolean {
  let isInside = false;
  for (const ring of polygons.flat()) {
    for (const [at, a] of ring.entries()) {
      const b = ring[(at + 1) % ring.length] as Point;
      const crosses = a.latitude > latitude !== b.latitude > latitude;
      const east = a.longitude + ((latitude - a.latitude) / (b.latitude - a.latitude)) * (b.longitude - a.longitude);
      if (crosses && longitude < east) isInside = !isInside;
    }
  }
  return isInside;
}

// A sketch with about a dozen corners a region: places close to a border may fall outside.
test("nine places in ten lie inside the rough outline of their region", () => {
  const judged = places().filter((place) => place.codes.some((code) => sketch.outline(code) !== null));
  expect(judged.length).toBeGreaterThan(2500);
  const right = judged.filter((place) => place.codes.some((code) => holds(sketch.outline(code) ?? [], place)));
  console.log(`${right.length} of ${judged.length} places inside the sketch of their region`);
  expect(right.length / judged.length).toBeGreaterThan(0.9);
});

test("nearly all regions are drawn, with at least three corners", () => {
  expect(drawn.length).toBeGreaterThan(3700);
  for (const code of drawn)
    for (const ring of (sketch.outline(code) ?? []).flat()) expect(ring.length).toBeGreaterThan(1);
  expect(sketch.names.get("FR-63")).toBe("Puy-de-Dôme");
  expect(sketch.outline("MT-01")).toBeNull();
  expect(sketch.outline("XX-99")).toBeNull();
});

test("who borders on a region is bordered by it, in the same place", () => {
  for (const code of drawn.filter((_, at) => at % 50 === 0)) {
    for (const other of sketch.neighbours(code)) {
      expect(sketch.neighbours(other)).toContain(code);
      expect(sketch.border(code, other)).toEqual(sketch.border(other, code));
    }
  }
  // Known from any map: the six neighbours of one département, and borders between countries.
  expect(sketch.neighbours("FR-63")).toEqual(["FR-03", "FR-15", "FR-19", "FR-23", "FR-42", "FR-43"]);
  expect(sketch.neighbours("US-WA")).toEqual(["CA-BC", "US-ID", "US-OR"]);
  expect(sketch.border("FR-63", "FR-13")).toBeNull();
});

test("a region across the 180th meridian stays in one piece", () => {
  const longitudes = (sketch.outline("RU-CHU") ?? []).flat(2).map((corner) => corner.longitude);
  expect(Math.min(...longitudes)).toBeGreaterThan(100);
  expect(Math.max(...longitudes)).toBeGreaterThan(185);
});
