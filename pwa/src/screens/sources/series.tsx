/** The contents of a source over time, with error bars. */

import { useMemo } from "preact/hooks";
import { count, interval } from "../../format";
import { labels } from "../../labels";
import { Chart, type ChartMark, type ChartPoint } from "../../parts/chart";
import type { SourceFigures } from "../../store/schema";
import type { SourceTest } from "../../store/sources";
import { rangeOf, seriesOf } from "./series-points";

export interface SeriesProps {
  tests: readonly SourceTest[];
  figures: SourceFigures | null;
}

export function Series({ tests, figures }: SeriesProps) {
  const words = labels.sources.page;
  const points = useMemo<ChartPoint[]>(() => seriesOf(tests), [tests]);
  const marks = useMemo<ChartMark[]>(
    () =>
      (figures?.changes ?? []).map((change) => ({
        at: Date.parse(change.at),
        label: words.changeMark[change.direction] ?? change.direction,
      })),
    [figures, words],
  );
  const many = count(points.length, labels.sources.oneTest, labels.sources.manyTests);
  return (
    <section class="leaf" aria-labelledby="series">
      <div>
        <h2 id="series">{words.series}</h2>
        <p class="hint">{words.seriesHint}</p>
      </div>
      <Chart name={words.seriesName(many, interval(rangeOf(points)))} unit="%" points={points} marks={marks} />
    </section>
  );
}
