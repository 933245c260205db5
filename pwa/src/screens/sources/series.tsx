/** The contents of a source over time, with error bars, the season's prediction, and the interval of the next fill. */

import { useMemo } from "preact/hooks";
import { labels } from "../../i18n";
import { count, day, interval, percent } from "../../i18n/format";
import type { SourceFigures } from "../../rows/source-figures";
import { useStored } from "../../state/hooks";
import { usePage } from "../../state/page";
import { oddTests } from "../../store/odd-tests";
import type { SourcePage } from "../../store/sources";
import { Chart, type ChartMark } from "../../widgets/chart";
import { oddWords } from "../shared/odd-note";
import { type Expected, expectedOf, rangeOf, seriesOf } from "../shared/source/series-points";

export function Series({ page }: { page: SourcePage }) {
  const words = labels.sources.page;
  const { tests, figures, season } = page;
  const known = figures?.figures ?? null;
  const points = useMemo(() => seriesOf(tests), [tests]);
  const marks = useMemo<ChartMark[]>(
    () =>
      (known?.changes ?? []).map((change) => ({
        at: Date.parse(change.at),
        label: words.changeMark[change.direction] ?? change.direction,
      })),
    [known, words],
  );
  const expected = useMemo(() => expectedOf(points, figures, season), [points, figures, season]);
  const many = count(points.length, labels.sources.oneTest, labels.sources.manyTests);
  const sentences = known && expected ? expectedWords(known, expected, season !== null) : [];
  const crosses = points.some((point) => point.wrong) ? [words.crosses] : [];
  const { compute } = usePage();
  const odd = useStored(() => oddTests(page, compute), [], [page]) ?? [];
  const name = [
    words.seriesName(many, interval(rangeOf(points))),
    ...crosses,
    ...sentences,
    ...changeWords(known),
  ].join(" ");
  return (
    <section class="leaf" aria-labelledby="series">
      <div>
        <h2 id="series">{words.series}</h2>
        <p class="hint">{words.seriesHint}</p>
      </div>
      <Chart
        name={name}
        unit="%"
        points={points}
        marks={marks}
        {...(expected && { line: expected.line, band: expected.band })}
      />
      {[...crosses, ...sentences].map((sentence) => (
        <p key={sentence} class="hint">
          {sentence}
        </p>
      ))}
      {odd.map((one) => (
        <p key={one.test.id} class="warning" data-odd={one.side}>
          {labels.test.odd.on(day(one.test.sampled_at), oddWords(one))} {labels.test.odd.again}
        </p>
      ))}
    </section>
  );
}

/** The line and the band in words, with their figures. */
function expectedWords(figures: SourceFigures, { line, band }: Expected, seasonal: boolean): string[] {
  const words = labels.sources.page;
  const since = day(line[0]?.at ?? band.from);
  const now = percent(figures.typical);
  const likely = interval(figures.typical_interval, "%", 1);
  const level = seasonal
    ? words.baseline(since, interval(rangeOf(line)), now, likely)
    : words.baselineFlat(since, now, likely);
  return [level, words.band(interval([band.low, band.high]))];
}

function changeWords(figures: SourceFigures | null): string[] {
  const words = labels.sources.page;
  return (figures?.changes ?? []).map(({ at, direction }) =>
    words.changed(day(at), words.changeMark[direction] ?? direction),
  );
}
