// A shared result has everything that makes its figures honest.
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { result } from "@/chemistry/budget";
import { cardOf, textOf } from "@/screens/shared/pass-on/card";
import { COLOURS, linesOf } from "@/screens/shared/pass-on/draw";
import { sealed } from "../../../helpers/examples";

const place = { name: "Col du Frene", pump: "3" };

it("the text has source, day, content with its uncertainty, the corrections and the cautions", () => {
  const test = sealed("s");
  const text = textOf(cardOf(test, place, result(test)));
  expect(text).toContain("Col du Frene, 3");
  expect(text).toMatch(/From the pump, 12\u00a0Mar\u00a02026/);
  expect(text).toMatch(/Ethanol content \d+\.\d ±\u00a0\d\.\d\u00a0%/);
  expect(text).toMatch(/95 % confident: the true content is/);
  expect(text).toMatch(/Read in millilitres: .* before corrections of [+−]\d+\.\d points/);
  expect(text).toContain("catch fire");
  expect(text).not.toMatch(/\bsafe\b/i);
});

it("an unknown scale gives a range and no single figure", () => {
  const test = sealed("s");
  const unknown = { ...test, tube: { ...test.tube, scale: "unknown" as const, liquid: "water" as const } };
  const runs = unknown.runs.map((run) => ({ ...run, line: null, percent: 78 }));
  const card = cardOf({ ...unknown, runs }, place, result({ ...unknown, runs }));
  expect(card.span).not.toBeNull();
  expect(card.figure).toMatch(/^\d+\.\d\u00a0to\u00a0\d+\.\d$/);
  expect(card.spread).toBe("%");
});

it("contradicting runs are said to invalidate the ±", () => {
  const test = sealed("s");
  const [run] = test.runs;
  if (!run) throw new Error("a test has a run");
  const apart = { ...test, runs: [run, { ...run, line: (run.line ?? 0) - 4 }] };
  expect(textOf(cardOf(apart, place, result(apart)))).toContain("cannot be trusted yet");
});

it("lines break between words and are cut to fit", () => {
  const width = (text: string) => text.length;
  expect(linesOf("one two three", 7, width, 3)).toEqual(["one two", "three"]);
  expect(linesOf("one two three four five", 9, width, 2)).toEqual(["one two", "three…"]);
  expect(linesOf("unbreakable", 6, width, 2)).toEqual(["unbre…"]);
  expect(linesOf("short", 9, width, 2)).toEqual(["short"]);
});

it("the picture has the colours of the light theme", () => {
  const css = readFileSync(fileURLToPath(new URL("../../../../../pwa/src/styles/tokens.css", import.meta.url)), "utf8");
  const day = css.slice(0, css.indexOf("}"));
  for (const [name, colour] of Object.entries(COLOURS)) {
    expect(day).toContain(`--${name === "soft" ? "ink-soft" : name}: ${colour};`);
  }
});
