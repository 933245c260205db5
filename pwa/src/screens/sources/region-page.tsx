/** A region by month: how many tested, what the pumps delivered, its spread, and the share within a specification. */

import { useMemo } from "preact/hooks";
import { SPECIFICATIONS, type Specification } from "../../chemistry/meaning";
import { labels } from "../../i18n";
import { count, interval, month, number, percent } from "../../i18n/format";
import { chosenOf, middleOf, monthsOf, type RegionMonth } from "../../model/region-months";
import { useStored } from "../../state/hooks";
import { to } from "../../state/router";
import { settings } from "../../state/signals";
import { listRegionTests } from "../../store/regions";
import { Chart } from "../../widgets/chart";
import { Waiting } from "../../widgets/waiting";
import { useRegionName } from "../shared/source/region-name";
import { rangeOf } from "../shared/source/series-points";
import { RegionMap } from "./region-map";

export function RegionPage({ code }: { code: string }) {
  const words = labels.sources.area;
  const name = useRegionName(code);
  const tests = useStored(() => listRegionTests(code), ["pulled_tests"], [code]);
  const specification = chosenOf(SPECIFICATIONS, settings.value.specification);
  const months = useMemo(() => monthsOf(tests ?? [], specification), [tests, specification]);
  return (
    <article class="source">
      <p>
        <a class="button plain" href={to("sources")}>
          {labels.sources.page.back}
        </a>
      </p>
      <header class="head">
        <h1>{name}</h1>
        {name !== code && <p class="quiet">{code}</p>}
        <p class="quiet">{words.lead}</p>
      </header>
      <div class="beside">
        <RegionMap code={code} />
        <div>
          {tests === undefined && <Waiting word={labels.sources.loading} />}
          {tests?.length === 0 && <p>{words.none}</p>}
          {months.length > 0 && <Months months={months} specification={specification} />}
        </div>
      </div>
    </article>
  );
}

interface MonthsProps {
  months: readonly RegionMonth[];
  specification: Specification | null;
}

function Months({ months, specification }: MonthsProps) {
  const words = labels.sources.area;
  const points = useMemo(
    () => months.map(({ month, centre, spread }) => ({ at: middleOf(month), value: centre, spread })),
    [months],
  );
  const many = count(months.length, words.month, words.months);
  return (
    <section class="leaf" aria-labelledby="months">
      <div>
        <h2 id="months">{words.title}</h2>
        <p class="hint">{words.hint}</p>
        <p class="hint">{specification ? words.specification(specification.name) : words.specificationNone}</p>
      </div>
      <Chart name={words.chart(many, interval(rangeOf(points)))} unit="%" points={points} />
      <ol class="row-list">
        {[...months].reverse().map((one) => (
          <li key={one.month} class="row row-without-mark">
            <Month of={one} />
          </li>
        ))}
      </ol>
    </section>
  );
}

function Month({ of }: { of: RegionMonth }) {
  const { sources: list } = labels;
  const words = list.area;
  const { share } = of;
  const made = words.made(
    count(of.tests, list.oneTest, list.manyTests),
    count(of.sources, words.source, words.sources),
    count(of.contributors, words.person, words.people),
  );
  return (
    <>
      <div class="row-main">
        <p class="row-name">{month(of.month)}</p>
        <p class="row-note">{made}</p>
        {share && (
          <p class="row-note">
            {words.inside(number(share.inside, 0), number(of.tests, 0))}
            {share.cannot_tell > 0 && words.close(number(share.cannot_tell, 0))}
          </p>
        )}
      </div>
      <p class="row-end">
        <span class="row-figure">{percent(of.centre)}</span>
        <span class="row-note">{of.spread === null ? words.spreadUnknown : words.spread(number(of.spread, 1))}</span>
      </p>
    </>
  );
}
