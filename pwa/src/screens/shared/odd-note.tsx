/** A result that is far from what its source gave: how far, and what to do about it. */

import { labels } from "../../i18n";
import { decimalsFor, interval, number, withUncertainty } from "../../i18n/format";
import type { Odd } from "../../model/odd";

/** The result against what 9 of 10 next fills hold. */
export function oddWords({ side, content, expanded_uncertainty, by, expected }: Odd): string {
  const points = number(by, decimalsFor(expanded_uncertainty));
  return labels.test.odd[side](withUncertainty(content, expanded_uncertainty), points, interval(expected));
}

/** kept: the tube may be empty by now. */
export function OddNote({ odd, kept }: { odd: Odd; kept: boolean }) {
  const words = labels.test.odd;
  return (
    <p class="warning" data-odd={odd.side}>
      {oddWords(odd)} {kept ? words.again : words.repeat}
    </p>
  );
}
