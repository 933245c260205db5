// @vitest-environment happy-dom
// Data from a later version is shown as far as known, with one sentence for the rest and never a wrong figure.

import { computeHere } from "@/compute";
import type { Test } from "@/records";
import LogScreen from "@/screens/log";
import SourcesScreen from "@/screens/sources";
import { path } from "@/state/signals";
import { applyPage, applyWhole } from "@/store/cursor";
import { refreshFigures } from "@/store/figures";
import { identity } from "@/store/identity";
import { writeFact } from "@/store/settings";
import { readSource } from "@/store/sources";
import { NOW, pulledSource, pulledTest } from "../helpers/examples";
import { type Mounted, mount, unmount } from "../helpers/mount";
import { livePage } from "../helpers/page";
import { soon } from "../helpers/soon";

afterEach(() => {
  unmount();
  path.value = ["test"];
});

const CURSOR = { server: "https://here.example", cursor: "a.1" };
const KNOWN = pulledTest(2, "").record;

/** An own test sent by another phone with a later version, and its page. */
async function adopted(change: Partial<Record<keyof Test, unknown>>, flags: string[] = [], held = false) {
  const { contributor } = await identity();
  const source = pulledSource(1);
  const test = { ...pulledTest(2, source.id, change as Partial<Test>), contributor, flags };
  await applyPage([source, test], CURSOR, true);
  await applyWhole([test], [test.id]);
  if (held) await applyPage([{ ...test, sequence: 3, state: "held", record: null, figures: null }], CURSOR, false);
  await refreshFigures(NOW, computeHere);
  return { source: source.id, test: test.id };
}

async function shown(
  screen: typeof LogScreen | typeof SourcesScreen,
  address: string[],
  text: string,
): Promise<Mounted> {
  const Screen = screen;
  path.value = address;
  const page = mount(<Screen path={address} />);
  await soon(() => expect(page.text()).toContain(text));
  return page;
}

test.each([
  ["scale", { ...KNOWN.tube, scale: "spiral" }],
  ["liquid", { ...KNOWN.tube, liquid: "glycol" }],
])("a %s of a later version: the figures it came with, and why there is no more", async (_, tube) => {
  const { test } = await adopted({ tube });
  const page = await shown(LogScreen, ["log", test], "a kind of tube this one does not know");
  // 88.5 mL would give another content: nothing is computed from unknown data.
  expect(page.text()).toContain("83.0");
  expect(page.text()).toContain("± 1.9");
});

test("an unknown sample kind is shown and does not count", async () => {
  const { source, test } = await adopted({ sampled: "barrel" });
  expect((await readSource(source))?.tests).toMatchObject([{ sampled: "barrel", counted: false }]);
  const log = await shown(LogScreen, ["log", test], "Status");
  expect(log.text()).not.toContain("undefined");
  unmount();
  const page = await shown(SourcesScreen, ["source", source], "83.0");
  expect(page.text()).not.toContain("undefined");
});

test("an unknown remark becomes one sentence with its code", async () => {
  const { test } = await adopted({}, ["moonlight"], true);
  const page = await shown(LogScreen, ["log", test], "a remark this version does not know (moonlight)");
  expect(page.text()).not.toContain("undefined");
});

test("an unknown region or sort order leaves the list unchanged", async () => {
  await writeFact("list", { order: "cheapest" as never, filters: {} as never });
  const source = { ...pulledSource(1, { name: "Pas des Genets" }), region: "ZZ-9999X" };
  const other = pulledSource(3, { name: "Bois Lambert" });
  const tests = [source, other].map((place, at) => ({ ...pulledTest(4 + at, place.id), region: place.region }));
  await applyPage([source, other, ...tests], CURSOR, true);
  await refreshFigures(NOW, computeHere);
  await livePage();
  await shown(SourcesScreen, ["sources"], "Pas des Genets");
  unmount();
  await shown(SourcesScreen, ["source", source.id], "83.0");
});
