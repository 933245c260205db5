// Marks snapped to the printed scale of a synthetic tube, or left where they are.
import type { Marks } from "@/chemistry/axis";
import { marks_on_scale } from "@/chemistry/ladder";

const SIZE = { width: 300, height: 1000 };
/** 100 mL in 850 px, tilted away from the camera by this much at the top. */
const row = (volume: number, far: number) => 940 - (8.5 * volume) / (1 + ((far - 1) * volume) / 100);
const places = (far: number, off = [0, 0, 0]): Marks => {
  const at = (volume: number, by = 0) => ({ x: 150, y: row(volume, far) - by });
  return { bottom: at(10, off[0]), water: at(50, off[1]), fuel: at(100, off[2]), line: at(80) };
};

/** Grey glass with 3 px strokes right of its middle: every fifth longer, every tenth the longest. */
function picture(far: number, strokes: (count: number) => number, ink = 40): Uint8ClampedArray {
  const pixels = new Uint8ClampedArray(4 * SIZE.width * SIZE.height);
  for (let i = 0; i < pixels.length; i++) {
    const y = Math.floor(i / 4 / SIZE.width);
    pixels[i] = (y < 350 ? 150 : 130) + (((i * 2654435761) >>> 8) % 7);
  }
  for (let count = 1; count <= 100; count++) {
    const middle = row(count, far);
    for (let y = Math.floor(middle) - 2; y <= middle + 2; y++) {
      const cover = Math.min(1, Math.max(0, 2 - Math.abs(y + 0.5 - middle)));
      for (let x = 150; x < 150 + strokes(count); x++) {
        for (let c = 0; c < 3; c++) {
          const index = 4 * (y * SIZE.width + x) + c;
          pixels[index] = (1 - cover) * (pixels[index] as number) + cover * ink;
        }
      }
    }
  }
  return pixels;
}

const usual = (count: number) => (count % 10 === 0 ? 45 : count % 5 === 0 ? 34 : 22);
const find = (pixels: Uint8ClampedArray, marks: Marks) =>
  marks_on_scale(pixels, SIZE.width, SIZE.height, marks, [10, 50, 100], 130, 1);

describe("marks near a printed scale", () => {
  // 8.5 px a division: the hand is off by more than one.
  it.each([
    ["held a little low", 1, [-6, -6, -6], 40],
    ["held more than a division high", 1, [12, 12, 12], 40],
    ["too large in the picture", 1, [8, 3, -7], 40],
    ["leaning from the camera", 1.15, [5, 5, 5], 40],
    ["with white strokes", 1, [-9, -9, -9], 230],
  ])("move onto it: %s", (_, far, off, ink) => {
    const found = find(picture(far, usual, ink), places(far, off));
    const truth = places(far);
    for (const name of ["bottom", "water", "fuel"] as const) {
      expect(Math.abs((found?.[name].y ?? 0) - truth[name].y)).toBeLessThan(1.5);
    }
  });

  it("stay put on plain glass", () => {
    expect(
      find(
        picture(1, () => 0),
        places(1, [6, 6, 6]),
      ),
    ).toBeNull();
  });

  it("stay put when all strokes look alike, because one could be mistaken for the next", () => {
    expect(
      find(
        picture(1, () => 30),
        places(1, [6, 6, 6]),
      ),
    ).toBeNull();
  });
});
