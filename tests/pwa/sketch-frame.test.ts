import { distance_km } from "@/position";
import { apart, frameOf, inside, pathOf, rulerOf, side } from "@/sketch-frame";

/** About 79 km wide and 111 km high. */
const SQUARE = [
  [
    [
      { latitude: 45, longitude: 2 },
      { latitude: 46, longitude: 2 },
      { latitude: 46, longitude: 3 },
      { latitude: 45, longitude: 3 },
    ],
  ],
];

test("north is up, east is right, and all corners are inside", () => {
  const frame = frameOf(SQUARE, []);
  const [southWest, northWest, northEast] = SQUARE.flat(2).map(frame.at);
  expect(northWest?.y).toBeLessThan(southWest?.y as number);
  expect(northEast?.x).toBeGreaterThan(northWest?.x as number);
  for (const { x, y } of SQUARE.flat(2).map(frame.at)) {
    expect(x).toBeGreaterThan(0);
    expect(x).toBeLessThan(frame.width);
    expect(y).toBeGreaterThan(0);
    expect(y).toBeLessThan(frame.height);
  }
});

test("lengths in the drawing are those on the ground", () => {
  const frame = frameOf(SQUARE, []);
  const [from, to] = [
    { latitude: 45.5, longitude: 2.2 },
    { latitude: 45.5, longitude: 2.8 },
  ];
  const drawn = Math.hypot(frame.at(to).x - frame.at(from).x, frame.at(to).y - frame.at(from).y);
  expect(drawn * frame.km_per_unit).toBeCloseTo(distance_km(from, to), 1);
});

test("a source outside the rough outline is inside the drawing", () => {
  const outside = { latitude: 45.5, longitude: 3.2 };
  const frame = frameOf(SQUARE, [outside]);
  expect(frame.at(outside).x).toBeLessThan(frame.width);
});

test("across the 180th meridian the short way is taken", () => {
  const strip = [
    [[-179, 178].map((longitude) => ({ latitude: 65, longitude: longitude < 0 ? longitude + 360 : longitude }))],
  ];
  const frame = frameOf(strip, []);
  expect(frame.at({ latitude: 65, longitude: -179.5 }).x).toBeCloseTo(frame.at({ latitude: 65, longitude: 180.5 }).x);
});

test("which side a place lies on, and what is in the middle", () => {
  const frame = frameOf(SQUARE, []);
  expect(side({ latitude: 45.9, longitude: 2.5 }, frame)).toBeCloseTo(0, 0);
  expect(side({ latitude: 45.5, longitude: 2.9 }, frame)).toBeCloseTo(90, 0);
  expect(side({ latitude: 45.51, longitude: 2.51 }, frame)).toBeNull();
});

test("the ruler has a round length that is true", () => {
  const frame = frameOf(SQUARE, []);
  expect(rulerOf(frame, 1).length).toBe(20);
  expect(rulerOf(frame, 1).units * frame.km_per_unit).toBeCloseTo(20);
  expect(rulerOf(frame, 1.609344).units * frame.km_per_unit).toBeCloseTo(rulerOf(frame, 1.609344).length * 1.609344);
});

test("a path goes round every ring", () => {
  expect(pathOf(SQUARE, frameOf(SQUARE, []))).toMatch(/^M[\d.]+ [\d.]+(L[\d.]+ [\d.]+){3}Z$/);
});

test("writings stay inside and do not run over each other", () => {
  const frame = { width: 320, height: 300 };
  expect(inside({ text: "Haute-Loire", x: -50, y: 400 }, frame)).toEqual({ text: "Haute-Loire", x: 35.9, y: 276 });
  const [first, over, free] = [
    { text: "Loire", x: 100, y: 100 },
    { text: "Haute-Loire", x: 130, y: 105 },
    { text: "Cantal", x: 130, y: 130 },
  ];
  expect(apart([first, over, free])).toEqual([first, free]);
});
