// The browser's own bar has the page's background colour, so that no stripe shows.
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

const read = (path: string) => readFileSync(fileURLToPath(new URL(`../../../pwa/${path}`, import.meta.url)), "utf8");
const tokens = read("src/styles/tokens.css");

function paperAfter(selector: string): string | undefined {
  return /--paper: (#[0-9a-f]{6});/.exec(tokens.slice(tokens.indexOf(`${selector} {`)))?.[1];
}

const day = paperAfter(":root");
const night = paperAfter(':root[data-scheme="dark"]');

it("the theme colour is that of tokens.css in light and dark", () => {
  const metas = [...read("index.html").matchAll(/name="theme-color" content="(#\w+)" media="\(([^)]+)\)"/g)];
  expect(metas.map(([, colour, media]) => [media, colour])).toEqual([
    ["prefers-color-scheme: light", day],
    ["prefers-color-scheme: dark", night],
  ]);
  expect(day).not.toBe(night);
});

it("the theme colour is that of the manifest too", () => {
  const { theme_color, background_color } = JSON.parse(read("public/manifest.webmanifest"));
  expect([theme_color, background_color]).toEqual([day, day]);
});
