/** What is said about a shared result: the same on the picture and in the text. */

import type { Result } from "../../../chemistry/budget";
import { counted } from "../../../chemistry/measurement";
import { labels } from "../../../i18n";
import { count, decimalsFor, interval, mL, moment, number, percent } from "../../../i18n/format";
import type { SealedTest } from "../../../rows/test";
import { limitsOf } from "../result/outcome";
import { signed } from "../result/summaries";

export interface Card {
  /** Name and pump of the source. */
  source: string;
  when: string;
  content: number;
  uncertainty: number;
  span: readonly [number, number] | null;
  /** The content in large digits, and what follows them in smaller ones. */
  figure: string;
  spread: string;
  /** What the figures mean, how they were computed. */
  notes: string[];
  cautions: string[];
}

export function cardOf(test: SealedTest, source: { name: string; pump: string }, found: Result): Card {
  const words = labels.passOn;
  const { content, expanded_uncertainty, span } = found;
  const decimals = decimalsFor(expanded_uncertainty);
  return {
    source: [source.name, source.pump].filter(Boolean).join(", "),
    when: words.when(words.sampled[test.sampled] ?? test.sampled, moment(test.sampled_at)),
    content,
    uncertainty: expanded_uncertainty,
    span,
    figure: span ? interval(span, "", 1).trim() : number(content, decimals),
    spread: span ? "%" : `±\u00a0${number(expanded_uncertainty, decimals)}\u00a0%`,
    notes: [meaning(found), corrected(test, found), words.runs(count(counted(test).length, words.run, words.manyRuns))],
    cautions: [words.caution, words.cautionFire],
  };
}

export function textOf(card: Card): string {
  const { figure, spread, source, when, notes, cautions } = card;
  return [source, when, labels.passOn.reading(`${figure} ${spread}`), ...notes, ...cautions].join("\n");
}

function meaning({ content, expanded_uncertainty, span, warnings }: Result): string {
  const words = labels.passOn;
  if (warnings.includes("runs_disagree") || warnings.includes("layers_disagree")) return words.contradicted;
  if (span) return words.span;
  return words.coverage(interval(limitsOf(content, expanded_uncertainty), "%", decimalsFor(expanded_uncertainty)));
}

/** The kind of scale, its reading, and how far the content is from that. */
function corrected(test: SealedTest, { as_read, content }: Result): string {
  const { tube } = test;
  const runs = counted(test);
  const words = labels.passOn;
  const [only] = runs;
  const line = tube.scale === "volume" && runs.length === 1 && only?.line != null ? mL(only.line) : percent(as_read);
  return words.corrected(labels.scales[tube.scale].passedOn, line, signed(content - as_read));
}
