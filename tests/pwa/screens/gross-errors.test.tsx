// @vitest-environment happy-dom
// How the screens show a gross error, one person's figures, and an uncertain season.

import { computeHere } from "@/compute";
import type { FiguresRow } from "@/rows/source";
import type { SourceFigures } from "@/rows/source-figures";
import { TestPage } from "@/screens/log/test-page";
import { SourceFiguresList } from "@/screens/sources/source-figures";
import { SourceLine } from "@/screens/sources/source-line";
import { SourcePage } from "@/screens/sources/source-page";
import { applyPage } from "@/store/cursor";
import { listFigures } from "@/store/figure-rows";
import { refreshFigures } from "@/store/figures";
import { saveTest } from "@/store/tests";
import { keeping, NOW, pulledSource, pulledTest } from "../helpers/examples";
import { mount, unmount } from "../helpers/mount";
import { soon } from "../helpers/soon";

afterEach(unmount);

const DAY = 86_400_000;
const place = pulledSource(1);
const ago = (days: number) => new Date(NOW.getTime() - days * DAY).toISOString();

/** Twelve tests by three strangers and an own one; returns its id. */
async function testedBoth(content: number): Promise<string> {
  const theirs = Array.from({ length: 12 }, (_, k) => ({
    ...pulledTest(10 + k, place.id, { content: 75 + (k % 3) / 2, sampled_at: ago(14 * k + 3) }),
    contributor: "abc".charAt(k % 3).repeat(16),
  }));
  await applyPage([place, ...theirs], { server: "", cursor: "a.1" }, true);
  const mine = keeping(place.id, { content, sampled_at: ago(40), tested_at: ago(40) });
  const { id } = await saveTest(mine, NOW);
  await refreshFigures(NOW, computeHere);
  return id;
}

const rowOf = async () => (await listFigures())[0] as FiguresRow & { figures: SourceFigures };

test("a gross error is marked in the series, the list and the log", async () => {
  const id = await testedBoth(45);
  const page = mount(<SourcePage id={place.id} />);
  await soon(() => expect(page.root.querySelectorAll(".chart-wrong")).toHaveLength(1));
  expect(page.text()).toContain("Crosses (×): visits that look like gross errors");
  expect(page.root.querySelector(".chart-box")?.getAttribute("aria-label")).toContain("Crosses (×)");
  const notes = [...page.root.querySelectorAll("ol .row-note")].map((note) => note.textContent ?? "");
  expect(notes.filter((note) => note.includes("× looks like a gross error"))).toEqual([
    expect.stringContaining("yours"),
  ]);
  unmount();
  const log = mount(<TestPage id={id} />);
  await soon(() => expect(log.root.querySelector("[data-wrong]")).not.toBeNull());
  expect(log.text()).toContain("Check the tube again, or correct the test.");
});

test("an ordinary test is not marked", async () => {
  const id = await testedBoth(75.4);
  const page = mount(<SourcePage id={place.id} />);
  await soon(() => expect(page.root.querySelectorAll(".chart-point")).toHaveLength(13));
  expect(page.root.querySelector(".chart-wrong")).toBeNull();
  expect(page.text()).not.toContain("gross error");
  unmount();
  const log = mount(<TestPage id={id} />);
  await soon(() => expect(log.text()).toContain(place.record.name));
  expect(log.root.querySelector("[data-wrong]")).toBeNull();
});

test("visits count from the start of the level, and figures of one person say so", async () => {
  await testedBoth(75.4);
  const row = await rowOf();
  const both = mount(<SourceFiguresList figures={row.figures} />);
  expect(both.text()).toContain("Visits13since");
  expect(both.text()).not.toContain("one person");
  unmount();
  const alone = { ...row.figures, contributors: 1 };
  expect(mount(<SourceFiguresList figures={alone} />).text()).toContain("one person's tests");
  unmount();
  expect(mount(<SourceLine row={{ ...row, figures: alone }} now={NOW} />).text()).toContain("one person");
  unmount();
  const changes = [{ at: ago(20), direction: "up" }];
  const line = mount(<SourceLine row={{ ...row, figures: { ...row.figures, changes } }} now={NOW} />);
  expect(line.text()).toContain("higher than the season explains since");
});

test("an uncertain season is stated where it matters", async () => {
  await testedBoth(75.4);
  const { figures } = await rowOf();
  const [low, high] = figures.typical_interval;
  const told = (share: number) => {
    const open = { ...figures, season_uncertainty: share * ((high - low) / 2) };
    const found = mount(<SourceFiguresList figures={open} />).text();
    unmount();
    return found.includes("The season here is not known yet");
  };
  expect([told(0.45), told(0.55)]).toEqual([false, true]);
});
