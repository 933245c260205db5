/** The visits due now and in the coming week, above the list. */

import { labels } from "../../i18n";
import { inLine, shortDay } from "../../i18n/format";
import { isSoon, nextVisit, startOf } from "../../model/plan";
import { useNow, useStored } from "../../state/hooks";
import { to } from "../../state/router";
import { listPlans } from "../../store/plans";

export function Due() {
  const words = labels.sources.plan;
  const now = useNow(60_000);
  const plans = useStored(
    () => listPlans(new Date()),
    ["plans", "own_tests", "merged", "sources"],
    [now.toDateString()],
  );
  const rows = (plans ?? [])
    .flatMap(({ visits, ...page }) => {
      const visit = nextVisit(visits);
      return visit && isSoon(visit, now) ? [{ ...page, visit }] : [];
    })
    .sort((a, b) => (a.visit.day < b.visit.day ? -1 : 1));
  if (rows.length === 0) return null;
  return (
    <section class="leaf" aria-labelledby="due">
      <h2 id="due">{words.due}</h2>
      <ol class="row-list">
        {rows.map(({ plan, source, name, pump, visit }) => (
          <li key={plan.source}>
            <a class="row" href={to("source", source)}>
              <span class="sign" data-state={visit.state === "due" ? "fault" : undefined} />
              <span class="row-main">
                <span class="row-name">{inLine([name, pump])}</span>
              </span>
              <span class="row-end">
                {visit.state === "due"
                  ? words.dueSince(shortDay(startOf(visit.day)))
                  : words.planned(shortDay(startOf(visit.day)))}
              </span>
            </a>
          </li>
        ))}
      </ol>
    </section>
  );
}
