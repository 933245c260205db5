import { FIGURES_PLACES } from "@/store/figure-rows";
import { run } from "@/store/open";
import { readingsAt, sampledSince } from "@/store/readings";
import { addSource } from "@/store/sources";
import { saveTest } from "@/store/tests";
import { entry, keeping, NOW } from "../helpers/examples";

const DAY = 86_400_000;
const daysAgo = (days: number) => new Date(NOW.getTime() - days * DAY).toISOString();

async function sampledAt(times: string[]) {
  const source = await addSource(entry(), false, NOW);
  for (const sampled_at of times) await saveTest(keeping(source, { sampled_at }, false), NOW);
  return source;
}

test("readings of two years count, whatever their time zone offset", async () => {
  const source = await sampledAt([daysAgo(731), daysAgo(729), "2026-03-12T23:30:00+14:00", daysAgo(1)]);
  await sampledAt([daysAgo(2)]);
  const found = await run((base) => readingsAt(base.transaction(FIGURES_PLACES), source, NOW));
  // Each at noon of its local day.
  const days = [daysAgo(729), daysAgo(1), "2026-03-12"].map((time) => time.slice(0, 10));
  expect(found.map((one) => one.sampled_at * DAY)).toEqual(days.map((day) => Date.parse(`${day}T12:00:00Z`)));
});

test.each([1, 2, 3, 5, 100])(
  "all readings are found, %i at a time, even if several have the same time",
  async (most) => {
    const times = [9, 8, 8, 8, 8, 8, 7, 1].map(daysAgo);
    const source = await sampledAt(times);
    const found = await run((base) =>
      sampledSince(base.transaction("own_tests").objectStore("own_tests").index("by_time"), source, new Date(0), most),
    );
    expect(found.map((row) => row.test.sampled_at)).toEqual(times);
    expect(new Set(found.map((row) => row.id)).size).toBe(times.length);
  },
);
