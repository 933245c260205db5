/** The evidence behind a source's figures: three marks, filled or empty, and the word for it. */

import { labels } from "../../i18n";

const MARKS = [1, 2, 3];

export function Evidence({ marks }: { marks: number }) {
  return (
    <span class="evidence">
      {MARKS.map((mark) => (
        <i key={mark} data-full={mark <= marks || undefined} aria-hidden="true" />
      ))}
      {labels.sources.evidence(marks)}
    </span>
  );
}
