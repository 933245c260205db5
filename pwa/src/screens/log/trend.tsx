/** The person's own results from pumps over time, limited to the search; loaded when opened. */

import { useState } from "preact/hooks";
import { labels } from "../../i18n";
import { count, interval } from "../../i18n/format";
import { useStored } from "../../state/hooks";
import { type LogLine, listTests } from "../../store/tests";
import { Chart } from "../../widgets/chart";
import type { ChartPoint } from "../../widgets/chart-scale";
import { rangeOf } from "../shared/source/series-points";

/** As many as a chart on a phone can show separately. */
const MOST = 100;

export function Trend({ search }: { search: string }) {
  const words = labels.log.trend;
  const [open, setOpen] = useState(false);
  return (
    <details class="more" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{words.title}</summary>
      {open && <Drawn search={search} />}
    </details>
  );
}

function Drawn({ search }: { search: string }) {
  const { log, sources } = labels;
  const page = useStored(() => listTests({ limit: MOST, search }), ["own_tests"], [search]);
  if (page === undefined) return null;
  const points = pointsOf(page.lines);
  if (points.length === 0) return <p>{log.trend.none}</p>;
  const name = sources.page.seriesName(count(points.length, log.test, log.tests), interval(rangeOf(points)));
  return (
    <>
      <Chart name={name} unit="%" points={points} />
      <p class="hint">{sources.page.seriesHint}</p>
      <p class="hint">{log.trend.hint}</p>
    </>
  );
}

/** Oldest first, without cans and tanks, which contain a mixture, and without withdrawn tests. */
export function pointsOf(lines: readonly LogLine[]): ChartPoint[] {
  return lines
    .filter(({ row }) => !row.retracted && row.test.sampled === "pump")
    .map(({ row: { test } }) => ({
      at: Date.parse(test.sampled_at),
      value: test.content,
      spread: test.expanded_uncertainty,
    }))
    .sort((a, b) => a.at - b.at);
}
