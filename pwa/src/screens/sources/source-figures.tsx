/** The figures of a source, each with its interval. */

import type { ComponentChildren } from "preact";
import { labels } from "../../i18n";
import { ago, day, interval, list, number, percent } from "../../i18n/format";
import { isSeasonOpen } from "../../model/level";
import { isUnknown } from "../../model/ranking";
import type { SourceFigures } from "../../rows/source-figures";
import { useNow } from "../../state/hooks";
import { settings } from "../../state/signals";
import { probability_at_least } from "../../statistics/steadiness";
import { likelihood } from "../shared/likelihood";
import { Evidence } from "./evidence";

export function SourceFiguresList({ figures }: { figures: SourceFigures }) {
  const words = labels.sources.page;
  const minimum = settings.value.own_minimum;
  const now = useNow(60_000);
  return (
    <>
      <dl class="pairs">
        <Pair
          term={words.typical}
          value={percent(figures.typical)}
          note={words.between(interval(figures.typical_interval, "%", 1))}
        />
        <Pair term={words.next} value={interval(figures.next_fill)} />
        <Pair term={words.floor} value={percent(figures.floor, 0)} />
        {minimum !== null && (
          <Pair
            term={words.minimum(percent(minimum, 0))}
            value={words.probability(likelihood(probability_at_least(figures.next_fill_quantiles, minimum)))}
          />
        )}
        <Pair
          term={words.steadiness}
          value={words.points(number(figures.tau, 1))}
          note={words.between(interval(figures.tau_interval, words.pointsUnit, 1))}
        />
        <Pair term={words.evidence} value={<Evidence marks={figures.evidence} />} note={labels.sources.evidenceHint} />
        <Pair
          term={words.visits}
          value={number(figures.visits, 0)}
          {...(figures.level_since !== undefined && { note: words.since(day(figures.level_since)) })}
        />
        <Pair term={words.contributors} value={peopleIn(figures)} />
        <Pair term={words.last} value={day(figures.last_sampled_at)} note={ago(figures.last_sampled_at, now)} />
      </dl>
      {isSeasonOpen(figures) && <p class="hint">{words.seasonOpen}</p>}
      {isUnknown(figures) && <p class="hint">{words.onlyNew}</p>}
      {figures.contributors === 1 && <p class="hint">{words.onePerson}</p>}
      {figures.changes.map((change) => (
        <p key={change.at} class="warning" data-mark={change.direction}>
          {words.changed(day(change.at), words.changeMark[change.direction] ?? change.direction)}
        </p>
      ))}
    </>
  );
}

/** How many people, by how well the server knows them. */
function peopleIn({ contributors, established = contributors }: SourceFigures): string {
  const words = labels.sources.page;
  const strangers = contributors - established;
  if (strangers === 0) return number(contributors, 0);
  return list(
    [established > 0 && words.established(established), words.strangers(strangers)].filter((part) => part !== false),
  );
}

interface PairProps {
  term: string;
  value: ComponentChildren;
  note?: string;
}

function Pair({ term, value, note }: PairProps) {
  return (
    <div>
      <dt>{term}</dt>
      <dd>
        {value}
        {note && <small>{note}</small>}
      </dd>
    </div>
  );
}
