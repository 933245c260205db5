/** Whether a result is odd for its source: said while the tube is still at hand, never as a verdict. */

import type { SourceFigures } from "../rows/source-figures";
import { isUnknown } from "./ranking";

/** content, expanded_uncertainty (95 %): % (V/V). sampled: as in a test, null where it is not entered yet. */
export interface Read {
  content: number;
  expanded_uncertainty: number;
  sampled: string | null;
}

/** How far a result is from what its source may give next. */
export interface Odd {
  side: "above" | "below";
  content: number;
  expanded_uncertainty: number;
  /** Points beyond the nearer end of `expected`, without the result's own uncertainty. */
  by: number;
  /** Where 9 of 10 next fills are, %. */
  expected: readonly [number, number];
}

/**
 * A result of a pump that is beyond the next fill by more than its own uncertainty (95 %), and where fewer than 1 fill
 * in 200 is on that side; null for every other, and where little is known of the source: less than one mark of
 * evidence, or only from strangers. A can or a tank holds what was mixed, and says nothing of a delivery.
 */
export function oddOf({ sampled, content, expanded_uncertainty }: Read, figures: SourceFigures | null): Odd | null {
  if (sampled !== "pump" || figures === null || figures.evidence < 1 || isUnknown(figures)) return null;
  const { next_fill: expected, next_fill_quantiles: quantiles } = figures;
  const found = { content, expanded_uncertainty, expected };
  const [low, high] = expected;
  const [least = low, most = high] = [quantiles[0], quantiles.at(-1)];
  if (content - expanded_uncertainty > high && content > most) return { ...found, side: "above", by: content - high };
  if (content + expanded_uncertainty < low && content < least) return { ...found, side: "below", by: low - content };
  return null;
}
