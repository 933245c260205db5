// @vitest-environment happy-dom
// How much the list of sources does before it is first painted.

import type { FiguresRow } from "@/rows/source";
import type { SourceFigures } from "@/rows/source-figures";
import { SourcesList } from "@/screens/sources/list";
import { readFigures } from "@/store/figure-rows";
import { run } from "@/store/open";
import { addSource } from "@/store/sources";
import { entry, NOW } from "../../helpers/examples";
import { act, mount, unmount } from "../../helpers/mount";
import { livePage } from "../../helpers/page";
import { soon } from "../../helpers/soon";
import { countStorage } from "../../helpers/storage-count";

afterEach(unmount);

const FIGURES: SourceFigures = {
  typical: 80,
  typical_interval: [75, 85],
  tau: 2,
  tau_interval: [1, 3],
  tau_bound: 3,
  next_fill: [74, 86],
  next_fill_quantiles: [],
  floor: 75,
  tests: 1,
  visits: 1,
  contributors: 1,
  last_sampled_at: NOW.toISOString(),
  evidence: 1,
  changes: [],
};

async function addTestedSources(count: number): Promise<void> {
  const row = (await readFigures(await addSource(entry(), false, NOW))) as FiguresRow;
  const rows = Array.from({ length: count }, (_, at) => ({ ...row, source: `${row.source}${at}`, figures: FIGURES }));
  await run(async (base) => {
    const { store, done } = base.transaction("figures", "readwrite");
    await Promise.all([...rows.map((one) => store.put(one)), done]);
  });
}

test("it opens without waiting for the storage, with as many rows as fit on a screen; a page follows", async () => {
  await addTestedSources(40);
  const page = await livePage();
  await page.figures.read();
  const frames = vi.spyOn(globalThis, "requestAnimationFrame").mockReturnValue(0);
  onTestFinished(() => frames.mockRestore());
  const rows = () => document.querySelectorAll("ol.starred-list a.row").length;
  const { inTurn } = await countStorage(() => act(() => void mount(<SourcesList />, page)));
  // The plans, which the list does not wait for. One of the rows is that of the source without a test.
  expect(inTurn).toBeLessThanOrEqual(1);
  expect(rows()).toBe(5 + 1);
  const held = frames.mock.calls;
  frames.mockRestore();
  for (const [draw] of held) draw(0);
  await soon(() => expect(rows()).toBe(20 + 1));
});
