import fc from "fast-check";
import { LANGUAGES, speak } from "@/i18n";
import { numberOf, stepped, textOf } from "@/widgets/number-text";

describe("numbers as people type them", () => {
  it("reads signs, spaces and both decimal marks", () => {
    expect(numberOf(" −3,5 ")).toBe(-3.5);
    expect(numberOf("1 234.5")).toBe(1234.5);
    expect(numberOf(".5")).toBe(0.5);
    expect(numberOf("")).toBeNull();
    for (const text of ["-", "1.2.3", "1e5", "8O", "NaN", "Infinity"]) expect(numberOf(text)).toBeNaN();
  });

  it("writes the language's decimal sign and reads both", async () => {
    await speak("fr");
    expect(textOf(-83.5)).toBe("-83,5");
    expect([numberOf("83,5"), numberOf("83.5")]).toEqual([83.5, 83.5]);
  });

  it.each(LANGUAGES)("round-trips every number in %s", async (language) => {
    await speak(language);
    fc.assert(
      fc.property(fc.integer({ min: -(10 ** 9), max: 10 ** 9 }), (millionths) => {
        const value = millionths / 1e6;
        expect(numberOf(textOf(value))).toBe(value);
      }),
    );
  });
});

describe("a step", () => {
  const sizes = fc.constantFrom(0.05, 0.1, 0.2, 0.25, 0.5, 1, 2, 5);

  it("moves by one graduation, up and back", () => {
    fc.assert(
      fc.property(fc.integer({ min: -500, max: 500 }), sizes, (count, step) => {
        const start = Number((count * step).toFixed(6));
        const up = stepped(start, step, 1, -1e6, 1e6);
        expect(up - start).toBeCloseTo(step, 9);
        expect(stepped(up, step, -1, -1e6, 1e6)).toBe(start);
      }),
    );
  });

  it("goes to the next graduation from in between, and never past the limits", () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 100, noNaN: true }), sizes, (value, step) => {
        const up = stepped(value, step, 1, 0, 100);
        const down = stepped(value, step, -1, 0, 100);
        expect(up).toBeGreaterThanOrEqual(down);
        expect(up).toBeLessThanOrEqual(Math.min(100, value + step + 1e-6));
        expect(down).toBeGreaterThanOrEqual(Math.max(0, value - step - 1e-6));
      }),
    );
  });
});
