// What a result means: compared with one's own minimum, and with a specification. Counterpart of chemistry/meaning.py.
import data from "@constants/chemistry/specifications.json";
import { NORMAL } from "./coverage";
import { normal_below } from "./normal";

export type Verdict = "inside" | "below" | "above" | "cannot_tell";

/** The ethanol content a specification allows, % (V/V). */
export interface Specification {
  readonly code: string;
  readonly name: string;
  readonly minimum: number;
  readonly maximum: number;
}

export const SPECIFICATIONS: readonly Specification[] = data.specifications;

/** Return the probability, 0..1, that the content is at or above `minimum`; all in %, the uncertainty at 95 %. */
export function probability_at_or_above(content: number, expanded_uncertainty: number, minimum: number): number {
  return normal_below((NORMAL * (content - minimum)) / expanded_uncertainty);
}

/** Return where a content is in a specification; `cannot_tell` if a limit is within its expanded uncertainty. */
export function verdict(content: number, expanded_uncertainty: number, specification: Specification): Verdict {
  const low = content - expanded_uncertainty;
  const high = content + expanded_uncertainty;
  if (high < specification.minimum) return "below";
  if (low > specification.maximum) return "above";
  return low >= specification.minimum && high <= specification.maximum ? "inside" : "cannot_tell";
}

/** Return whether the content is above every specification's maximum by more than its uncertainty. */
export function check_scale_kind(content: number, expanded_uncertainty: number): boolean {
  return content - expanded_uncertainty > Math.max(...SPECIFICATIONS.map((specification) => specification.maximum));
}
