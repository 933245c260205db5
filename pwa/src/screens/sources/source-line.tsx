/** One row of the list: tube, name, expected next fill, how sure that is, and distance. */

import { labels } from "../../i18n";
import { ago, interval, percent, shortDay } from "../../i18n/format";
import { freshChange } from "../../model/level";
import type { News } from "../../model/news";
import { isUnknown } from "../../model/ranking";
import type { FiguresRow } from "../../rows/source";
import { to } from "../../state/router";
import { whereabouts } from "../../state/signals";
import { chosen } from "../../widgets/side-by-side";
import { TubeGlyph } from "../../widgets/tube-glyph";
import { away } from "../shared/source/away";
import { Evidence } from "./evidence";
import { newsWords } from "./news-words";

interface SourceLineProps {
  row: FiguresRow;
  now: Date;
  /** Shown above everything else. */
  news?: readonly News[] | undefined;
}

export function SourceLine({ row, now, news = [] }: SourceLineProps) {
  const words = labels.sources;
  const { figures } = row;
  const distant = away(whereabouts.value, row);
  const isTold = news.some((one) => one.what === "change");
  const change = figures && !isTold && freshChange(figures, now);
  return (
    <a class="row" href={to("source", row.source)} {...chosen("source", row.source)}>
      <TubeGlyph
        content={figures?.typical ?? null}
        uncertainty={null}
        next={figures?.next_fill ?? null}
        silent={figures !== null}
      />
      <span class="row-main">
        <span class="row-name">{row.name}</span>
        {row.pump && <span class="row-note">{row.pump}</span>}
        {news.map((one) => (
          <span key={one.what} class="row-news">
            {newsWords(one)}
          </span>
        ))}
        {figures && (
          <>
            <span>{words.next(interval(figures.next_fill))}</span>
            {change && <span>{words.levelSince(change.direction, shortDay(change.at))}</span>}
            <span class="row-note row-weight">
              <Evidence marks={figures.evidence} />
              {isUnknown(figures) && <span>{words.notWeighed}</span>}
              {figures.contributors === 1 && <span>{words.onePerson}</span>}
              <span>{words.lastTest(ago(figures.last_sampled_at, now))}</span>
            </span>
          </>
        )}
      </span>
      <span class="row-end">
        {figures && <span class="row-figure">{percent(figures.typical, 0)}</span>}
        {distant && <span class="row-note">{distant}</span>}
      </span>
    </a>
  );
}
