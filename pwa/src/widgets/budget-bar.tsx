/**
 * The uncertainty budget of a result as one bar: each part's width is its share of the variance, its pattern shows what
 * reduces it. The key gives the same in words.
 */

import type { Scope } from "../chemistry/components";
import { labels } from "../i18n";

export interface BudgetPart {
  name: string;
  /** Share of the variance, 0..1. */
  share: number;
  scope: Scope;
  /** Its label in the list beside the bar. */
  letter: string;
}

export interface BudgetBarProps {
  /** The parts in words, with their figures. */
  name: string;
  /** Largest first. */
  parts: readonly BudgetPart[];
}

/** Narrower parts have no space for their letter. */
const ROOM = 0.08;
const SCOPES: readonly Scope[] = ["run", "tube", "all"];

export function BudgetBar({ name, parts }: BudgetBarProps) {
  const words = labels.result;
  return (
    <figure class="budget">
      <div class="budget-bar" role="img" aria-label={name}>
        {parts.map((part) => (
          <i key={part.name} data-scope={part.scope} style={{ flexGrow: part.share }}>
            {part.share >= ROOM && <b>{part.letter}</b>}
          </i>
        ))}
      </div>
      <figcaption class="budget-key hint">
        {SCOPES.filter((scope) => parts.some((part) => part.scope === scope)).map((scope) => (
          <span key={scope} data-scope={scope}>
            {words.scope[scope](lettersOf(parts, scope))}
          </span>
        ))}
      </figcaption>
    </figure>
  );
}

function lettersOf(parts: readonly BudgetPart[], scope: Scope): string {
  return parts.flatMap((part) => (part.scope === scope ? [part.letter] : [])).join(", ");
}
