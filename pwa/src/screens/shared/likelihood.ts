/** A probability for people. */

import { labels } from "../../i18n";
import { percent } from "../../i18n/format";

/** Whole per cent, never as certain as 0 or 100. probability: 0..1. */
export function likelihood(probability: number): string {
  if (probability < 0.01) return labels.parts.hardly;
  if (probability > 0.99) return labels.parts.nearly;
  return percent(100 * probability, 0);
}
