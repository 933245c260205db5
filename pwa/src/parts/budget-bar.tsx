/** What makes a result uncertain, as one bar: each part as wide as its share of the variance, hatched where runs share it. */

import { labels } from "../labels";
import { letterOf } from "./waterfall-columns";

export interface BudgetPart {
  name: string;
  /** Share of the variance, 0..1. */
  share: number;
  /** The same in every run with this tube; the others are drawn afresh. */
  shared: boolean;
}

export interface BudgetBarProps {
  /** The parts in words, with their figures. */
  name: string;
  /** Largest first. */
  parts: readonly BudgetPart[];
}

/** Narrower parts have no room for their letter. */
const ROOM = 0.08;

export function BudgetBar({ name, parts }: BudgetBarProps) {
  const words = labels.test.result;
  const has = (shared: boolean) => parts.some((part) => part.shared === shared);
  return (
    <figure class="budget">
      <div class="budget-bar" role="img" aria-label={name}>
        {parts.map((part, index) => (
          <i key={part.name} data-shared={part.shared || undefined} style={{ flexGrow: part.share }}>
            {part.share >= ROOM && <b>{letterOf(index)}</b>}
          </i>
        ))}
      </div>
      <figcaption class="budget-key hint">
        {has(false) && <span>{words.ownKey}</span>}
        {has(true) && <span data-shared>{words.sharedKey}</span>}
      </figcaption>
    </figure>
  );
}
