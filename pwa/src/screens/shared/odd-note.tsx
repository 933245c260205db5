/** A result far from its source's earlier ones: how far, and what to do about it. */

import { labels } from "../../i18n";
import { decimalsFor, interval, number, withUncertainty } from "../../i18n/format";
import type { Odd } from "../../model/odd";

/** The result compared with the interval of 9 in 10 next fills. */
export function oddWords({ side, content, expanded_uncertainty, by, expected }: Odd): string {
  const points = number(by, decimalsFor(expanded_uncertainty));
  return labels.test.odd[side](withUncertainty(content, expanded_uncertainty), points, interval(expected));
}

/** isSaved: the tube may be empty by now. */
export function OddNote({ odd, isSaved }: { odd: Odd; isSaved: boolean }) {
  const words = labels.test.odd;
  return (
    <p class="warning" data-odd={odd.side}>
      {oddWords(odd)} {isSaved ? words.again : words.repeat}
    </p>
  );
}
