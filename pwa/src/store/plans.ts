/** Sampling plans, private to the phone, never sent. */

import { LEEWAY, laterDay, type PlannedVisit, startOf, visitsOf } from "../model/plan";
import type { PlanRow } from "../rows/plan";
import { announce } from "./changes";
import { keep } from "./keep";
import { mergedInto, representativeOf } from "./merges";
import { run, write } from "./open";
import { sampledSince } from "./readings";

/** A plan with what is done and what is due, and its source. */
export interface PlanPage {
  plan: PlanRow;
  /** The source that represents the planned one. */
  source: string;
  name: string;
  pump: string;
  visits: PlannedVisit[];
}

/** All plans whose source this phone knows. The person's own tests from the pump mark visits as done. */
export function listPlans(now: Date): Promise<PlanPage[]> {
  return run(async (base) => {
    const reading = base.transaction(["plans", "merged", "sources", "own_tests"]);
    const merged = reading.objectStore("merged");
    const pages: PlanPage[] = [];
    for (const plan of await reading.objectStore("plans").getAll()) {
      const source = await representativeOf(merged, plan.source);
      const place = await reading.objectStore("sources").get(source);
      if (place === undefined) continue;
      const tests = reading.objectStore("own_tests").index("by_time");
      const begin = startOf(laterDay(plan.first_day, -LEEWAY));
      const own = await Promise.all((await mergedInto(merged, source)).map((id) => sampledSince(tests, id, begin)));
      const sampled = own.flat().filter((row) => !row.retracted && row.test.sampled === "pump");
      const visits = visitsOf(
        plan,
        sampled.map((row) => row.test.sampled_at),
        now,
      );
      pages.push({ plan, source, name: place.name, pump: place.pump, visits });
    }
    return pages;
  });
}

/** The plan for a source; if a merge left two, the later one. */
export async function readPlan(source: string, now: Date): Promise<PlanPage | undefined> {
  const plans = (await listPlans(now)).filter((page) => page.source === source);
  return plans.sort((a, b) => (a.plan.made_at < b.plan.made_at ? -1 : 1)).at(-1);
}

export async function savePlan(row: PlanRow): Promise<void> {
  await keep(["plans"], (writing) => writing.objectStore("plans").put(row));
  announce("plans");
}

/** Deletes the plan for a source and those for sources merged into it; returns them so that they can be restored. */
export async function dropPlan(source: string): Promise<PlanRow[]> {
  const gone = await write(["plans", "merged"], async (writing) => {
    const plans = writing.objectStore("plans");
    const ids = await mergedInto(writing.objectStore("merged"), source);
    const rows = await Promise.all(ids.map((id) => plans.get(id)));
    for (const id of ids) await plans.delete(id);
    return rows.filter((row) => row !== undefined);
  });
  announce("plans");
  return gone;
}
