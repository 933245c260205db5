// @vitest-environment happy-dom
// A result far from its station's usual content: marked before saving, on the saved page, and in the series.

import { computeHere } from "@/compute";
import { EMPTY_RUN } from "@/model/progress";
import type { Draft } from "@/rows/draft";
import { SourcePage } from "@/screens/sources/source-page";
import TestScreen from "@/screens/test";
import { applyPage } from "@/store/cursor";
import { newDraft, saveDraft } from "@/store/drafts";
import { refreshFigures } from "@/store/figures";
import { DEFAULTS } from "@/store/settings";
import { addTube } from "@/store/tubes";
import { NOW, pulledSource, pulledTest, tubeRow } from "../helpers/examples";
import { mount, unmount } from "../helpers/mount";
import { soon } from "../helpers/soon";

afterEach(unmount);

const DAY = 86_400_000;
const place = pulledSource(1);
const ago = (days: number) => new Date(NOW.getTime() - days * DAY).toISOString();

/**
 * Twelve tests by three people at each of three sources, 74 to 75 %, the last three days ago; `newest` at the first.
 * Without the two others the odd one might be the season.
 */
async function known(newest = 75): Promise<void> {
  const sources = [place, pulledSource(2), pulledSource(3)];
  const tests = sources.flatMap((source, n) =>
    Array.from({ length: 12 }, (_, k) => {
      const content = k + n === 0 ? newest : 74 + (k % 3) / 2;
      const test = pulledTest(100 * (n + 1) + k, source.id, { content, sampled_at: ago(14 * k + 3) });
      return { ...test, contributor: "abc".charAt(k % 3).repeat(16) };
    }),
  );
  await applyPage([...sources, ...tests], { server: "", cursor: "a.1" }, true);
  await refreshFigures(NOW, computeHere);
}

/** The draft of a test with one run, read at 88.8 mL: 83 %. */
async function sheet(sampled: Draft["sampled"]) {
  const tube = await addTube(tubeRow(), NOW);
  const run = {
    ...EMPTY_RUN,
    water: 50,
    fuel: 50,
    shaken: true,
    confirmed: true,
    settle_until: 1,
    line: 88.8,
    temperature: 20,
  };
  const filled = { source: place.id, sampled, tube: tube.id, water_temperature: 20, cautions_read: true, runs: [run] };
  await saveDraft({ ...newDraft(DEFAULTS, NOW), shared: false, ...filled });
  const page = mount(<TestScreen path={["test"]} />);
  await soon(() => expect(page.text()).toContain("Save this test"));
  return page;
}

const SAID = /8\d\.\d ± 1\.\d % is well above what this station gave: \d\.\d points above the 7\d to 7\d %/;

test("an odd result is marked with the result and on the saved page", async () => {
  await known();
  const page = await sheet("pump");
  await soon(() => expect(page.root.querySelector(".result")?.textContent?.replaceAll("\u00a0", " ")).toMatch(SAID));
  expect(page.text()).toContain("Repeat the run, or check the tube");
  page.button("Save this test").click();
  await soon(() => expect(page.text()).toContain("The test is on this phone"));
  expect(page.text()).toMatch(SAID);
  expect(page.text()).toContain("Test here again, or check the tube");
});

test("a can's result is never marked as odd", async () => {
  await known();
  const page = await sheet("can");
  expect(page.root.querySelector("[data-odd]")).toBeNull();
});

test("the series names the odd test", async () => {
  await known(81);
  const odd = mount(<SourcePage id={place.id} />);
  await soon(() => expect(odd.root.querySelectorAll("[data-odd]")).toHaveLength(1));
  expect(odd.text()).toMatch(/9 Mar 2026: 81\.0 ± 1\.9 % is well above/);
});

test("a series of similar tests marks none", async () => {
  await known();
  const page = mount(<SourcePage id={place.id} />);
  await soon(() => expect(page.root.querySelectorAll(".chart-point")).toHaveLength(12));
  expect(page.root.querySelector("[data-odd]")).toBeNull();
});
