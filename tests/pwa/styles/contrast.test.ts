// Contrast of every pair of colours used for text or controls, in every scheme: WCAG 2.2, success criteria
// 1.4.3 (text, 4.5:1) and 1.4.11 (controls, 3:1); the formula is that of its definition of relative luminance.
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

const css = readFileSync(fileURLToPath(new URL("../../../pwa/src/styles/tokens.css", import.meta.url)), "utf8");

type Colours = Record<string, string>;

function blockAfter(selector: string): Colours {
  const at = css.indexOf(`${selector} {`);
  if (at < 0) throw new Error(`no ${selector} in tokens.css`);
  const body = css.slice(css.indexOf("{", at) + 1, css.indexOf("}", at));
  return Object.fromEntries([...body.matchAll(/--([a-z-]+):\s*(#[0-9a-f]{3,6});/g)].map((hit) => [hit[1], hit[2]]));
}

function luminance(hex: string): number {
  const full = hex.length === 4 ? hex.replace(/[0-9a-f]/g, "$&$&") : hex;
  const [red, green, blue] = [1, 3, 5].map((at) => {
    const share = Number.parseInt(full.slice(at, at + 2), 16) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

function contrast(one: string, other: string): number {
  const [low, high] = [luminance(one), luminance(other)].sort((a, b) => a - b) as [number, number];
  return (high + 0.05) / (low + 0.05);
}

const day = blockAfter(":root");
const schemes: Record<string, Colours> = {
  day,
  "night by setting": { ...day, ...blockAfter(':root[data-scheme="dark"]') },
  "night by device": { ...day, ...blockAfter(':root:not([data-scheme="light"], [data-scheme="sunlight"])') },
  sunlight: { ...day, ...blockAfter(':root[data-scheme="sunlight"]') },
};

const text = [
  ...["ink", "ink-soft", "accent"].flatMap((front) => ["paper", "leaf", "wash"].map((back) => [front, back])),
  ["on-accent", "accent"],
  ["paper", "ink"],
] as [string, string][];
const controls = [
  ["outline", "paper"],
  ["outline", "leaf"],
  ["accent", "leaf"],
] as [string, string][];

it("computes the ratios that WCAG gives for black, white and the lightest grey text", () => {
  expect(contrast("#000", "#fff")).toBeCloseTo(21, 6);
  expect(contrast("#767676", "#fff")).toBeCloseTo(4.54, 2);
});

describe.each(Object.entries(schemes))("%s", (name, colours) => {
  it.each(text)("%s on %s can be read", (front, back) => {
    expect(contrast(colours[front] as string, colours[back] as string)).toBeGreaterThanOrEqual(4.5);
  });

  it.each(controls)("%s stands out from %s", (front, back) => {
    expect(contrast(colours[front] as string, colours[back] as string)).toBeGreaterThanOrEqual(3);
  });

  it("sunlight colours are used only in the sunlight theme", () => {
    expect(colours.paper === "#fff").toBe(name === "sunlight");
  });
});

it("the dark theme is the same by setting and by device", () => {
  expect(schemes["night by setting"]).toEqual(schemes["night by device"]);
});
