import { computeHere } from "@/compute";
import { rank } from "@/model/ranking";
import type { Change } from "@/records";
import { applyPage } from "@/store/cursor";
import { listFigures, readFigures } from "@/store/figure-rows";
import { refreshFigures } from "@/store/figures";
import { readSource } from "@/store/sources";
import { saveWeights } from "@/store/weights";
import { NOW, pulledSource, pulledTest } from "../helpers/examples";

const DAY = 86_400_000;
const KNOWN = "aaaaaaaaaaaaaaaa";
const OTHER = "bbbbbbbbbbbbbbbb";
const STRANGER = "cccccccccccccccc";

function tests(first: number, source: string, contributor: string, content: number): Change[] {
  return Array.from({ length: 8 }, (_, k) => {
    const at = new Date(NOW.getTime() - (8 - k) * 14 * DAY - first * 3_600_000);
    return { ...pulledTest(first + k, source, { content, sampled_at: at.toISOString() }), contributor };
  });
}

test("readings by strangers count little, give no evidence and rank last", async () => {
  const [tested, invented] = [pulledSource(1, { name: "Tested" }), pulledSource(2, { name: "Invented" })];
  const theirs = [...tests(100, tested.id, KNOWN, 72), ...tests(200, tested.id, OTHER, 74)];
  const claimed = [...tests(300, tested.id, STRANGER, 90), ...tests(400, invented.id, STRANGER, 90)];
  const page = [tested, invented, ...theirs, ...claimed];
  await applyPage(page, { server: "https://here.example", cursor: "a.1" }, true);
  await refreshFigures(NOW, computeHere);
  const named = async () => rank(await listFigures(), "floor", null).ranked.map((row) => row.name);
  expect(await named(), "no server has said who is a stranger").toEqual(["Invented", "Tested"]);
  expect((await readFigures(invented.id))?.figures?.evidence).toBe(2);

  await saveWeights({ "FR-63": { [KNOWN]: 1, [OTHER]: 1 } });
  expect((await listFigures()).every((row) => row.stale === 1)).toBe(true);
  await refreshFigures(NOW, computeHere);
  const [known, other] = await Promise.all([readFigures(tested.id), readFigures(invented.id)]);
  expect(known?.figures).toMatchObject({ contributors: 3, established: 2, evidence: 3 });
  expect(known?.figures?.typical).toBeGreaterThan(70);
  expect(known?.figures?.typical).toBeLessThan(75);
  expect(other?.figures).toMatchObject({ contributors: 1, established: 0, evidence: 0 });
  expect(await named()).toEqual(["Tested", "Invented"]);
  const shown = (await readSource(tested.id))?.tests ?? [];
  expect(shown.filter((one) => !one.weighed).map((one) => one.contributor)).toEqual(Array(8).fill(STRANGER));

  await saveWeights({ "FR-63": { [KNOWN]: 1, [OTHER]: 1 } });
  expect(
    (await listFigures()).some((row) => row.stale === 1),
    "nothing new",
  ).toBe(false);
});
