/** The settling tubes, each with its own timer, in every place of the app. */

import { labels } from "../i18n";
import { clock, number } from "../i18n/format";

export interface StripTube {
  /** Index of the run on the sheet, from 0. */
  index: number;
  /** When its time is up, ms since 1970. */
  until: number;
}

export interface SettleStripProps {
  tubes: readonly StripTube[];
  /** ms since 1970 */
  now: number;
  onOpen: (index: number) => void;
}

export function SettleStrip({ tubes, now, onOpen }: SettleStripProps) {
  const words = labels.parts;
  if (tubes.length === 0) return null;
  return (
    <aside class="strip" aria-label={words.strip}>
      {tubes.map(({ index, until }) => {
        const run = number(index + 1, 0);
        const over = until <= now;
        return (
          <button key={index} type="button" data-over={over || undefined} onClick={() => onOpen(index)}>
            <span>{over ? words.stripOver(run) : words.stripRun(run)}</span>
            {!over && (
              <span role="timer" class="figure">
                {clock(until - now)}
              </span>
            )}
          </button>
        );
      })}
      <p class="unseen" role="status">
        {tubes
          .filter(({ until }) => until <= now)
          .map(({ index }) => words.stripOver(number(index + 1, 0)))
          .join(". ")}
      </p>
    </aside>
  );
}
