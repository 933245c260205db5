/** Earlier revisions of a saved test: the result of each, and when it was replaced. */

import { labels } from "../../i18n";
import { moment, pair, withUncertainty } from "../../i18n/format";
import type { OwnTest } from "../../rows/test";

export function Former({ row: { earlier, replaced, test: now } }: { row: OwnTest }) {
  const words = labels.log.page;
  if (earlier.length === 0) return null;
  return (
    <section class="leaf">
      <details class="more" open={earlier.some((test) => test.content !== now.content)}>
        <summary>{words.earlier}</summary>
        <ol>
          {earlier.map((test) => {
            const until = replaced?.find((one) => one.revision === test.revision)?.at;
            return (
              <li key={test.revision}>
                {pair(words.revision(test.revision), withUncertainty(test.content, test.expanded_uncertainty))},{" "}
                {test.sampled_at !== now.sampled_at && `${moment(test.sampled_at)}, `}
                {test.note || <span class="quiet">{words.emptyNote}</span>}
                {until !== undefined && <p class="hint">{words.replaced(moment(until))}</p>}
              </li>
            );
          })}
        </ol>
      </details>
    </section>
  );
}
