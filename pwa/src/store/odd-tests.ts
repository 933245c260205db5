/** Which of the newest tests at a source are far from all the others there. */

import type { Compute } from "../compute";
import { type Odd, oddOf } from "../model/odd";
import type { Identity } from "./facts";
import { run } from "./open";
import { priorsAt } from "./priors";
import { DAY, NAMELESS, noonOf, readingsAt } from "./readings";
import type { SourcePage, SourceTest } from "./sources";
import { weighed } from "./weights";

/** Days: longer ago the season was different. */
const MONTH = 30;
const MOST = 5;

export interface OddTest extends Odd {
  test: SourceTest;
}

/**
 * The odd tests of the last month, newest first. Each is compared with figures computed without its visit, because a
 * test pulls the figures of its source toward itself.
 */
export async function oddTests({ source, figures, tests }: SourcePage, compute: Compute): Promise<OddTest[]> {
  const now = new Date(figures?.computed_at ?? 0);
  const isNear = (test: SourceTest) => Date.parse(test.sampled_at) >= now.getTime() - MONTH * DAY;
  const asked = tests.filter((test) => test.sampled === "pump" && isNear(test)).slice(0, MOST);
  if (!figures?.figures || asked.length === 0) return [];
  const { readings, priors, self } = await run(async (base) => {
    const reading = base.transaction(["own_tests", "pulled_tests", "merged", "settings"]);
    const settings = reading.objectStore("settings");
    const found = await weighed(settings, source.region, await readingsAt(reading, source.id, now));
    const identity = (await settings.get("identity")) as Identity | undefined;
    const priors = await priorsAt(settings, source.region);
    return { readings: found, priors, self: identity?.contributor ?? NAMELESS };
  });
  const others = asked.map((test) => {
    const who = test.own ? self : test.contributor;
    const noon = noonOf(test.sampled_at);
    return readings.filter((one) => one.contributor !== who || one.sampled_at !== noon);
  });
  const without = await compute(
    "figures",
    others.map((one) => ({ readings: one, priors })),
    now.getTime(),
  );
  return asked.flatMap((test, index) => {
    const odd = oddOf(test, without[index] ?? null);
    return odd === null ? [] : [{ ...odd, test }];
  });
}
