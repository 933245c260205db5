// The app's arithmetic against PyTorch's, with the weights of the app.
import { PLACES, SAMPLES, STRIPS, scores, softmax } from "@/chemistry/network";
import vectors from "../../../fixtures/network.json";

/** As `pattern` in pwa/training/export.py. */
function pattern(): Float32Array {
  const strips = new Float32Array(3 * STRIPS * SAMPLES);
  for (let c = 0; c < 3; c++)
    for (let strip = 0; strip < STRIPS; strip++)
      for (let row = 0; row < SAMPLES; row++)
        strips[(c * STRIPS + strip) * SAMPLES + row] =
          (row < 200 + strip ? 60 + 30 * c : 170 - 20 * c) + 20 * Math.sin(0.11 * row + 0.5 * strip + c);
  return strips;
}

test("the scores are those of PyTorch", () => {
  const found = scores(pattern());
  expect(found).toHaveLength(PLACES + 1);
  expect(vectors.scores).toHaveLength(PLACES + 1);
  found.forEach((score, i) => {
    expect(Math.abs(score - (vectors.scores[i] as number))).toBeLessThan(2e-3);
  });
});

test("chances add up to 1 and keep the order of the scores", () => {
  const chances = softmax(Float64Array.of(700, 701, -700));
  expect(chances.reduce((sum, one) => sum + one, 0)).toBeCloseTo(1, 12);
  // The logistic function at 1.
  expect(chances[1]).toBeCloseTo(0.7310585786, 9);
});
