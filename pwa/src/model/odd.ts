/** Whether a result is odd for its source: shown while the tube can still be read again, never as a verdict. */

import type { SourceFigures } from "../rows/source-figures";
import { isUnknown } from "./ranking";

/** content, expanded_uncertainty (95 %): % (V/V). sampled: as in a test, null if not entered yet. */
export interface Read {
  content: number;
  expanded_uncertainty: number;
  sampled: string | null;
}

/** How far a result is from what its source is expected to deliver next. */
export interface Odd {
  side: "above" | "below";
  content: number;
  expanded_uncertainty: number;
  /** Points beyond the nearer end of `expected`, without the result's own uncertainty. */
  by: number;
  /** The interval of 9 of 10 next fills, %. */
  expected: readonly [number, number];
}

/**
 * A pump's result that is outside the next fill's interval by more than its own uncertainty (95 %), on a side with
 * fewer than 1 in 200 fills. Null for any other, and if little is known about the source: less than one mark of
 * evidence, or only strangers' tests. A can or a tank contains a mixture, and says nothing about a delivery.
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
