/** What a problem means, in the language of the app. */

import type { Problem } from "../../errors";
import { labels } from "../../labels";

export function problemSentence(problem: Problem): string {
  const sentence = (labels.problems as Record<string, string>)[problem.code];
  if (sentence === undefined) return labels.test.result.fault;
  const { value, field } = problem;
  const limit = spoken(problem.limit);
  return sentence.replaceAll("{value}", value).replaceAll("{field}", field).replaceAll("{limit}", limit);
}

/** `>= 50` and `0..100` are for programs; people read "at least 50" and "0 to 100". */
function spoken(limit: string): string {
  const words = labels.test.result.limit;
  return limit
    .replace(/^>=\s*/, `${words.atLeast} `)
    .replace(/^<=\s*/, `${words.atMost} `)
    .replace(/^>\s*/, `${words.above} `)
    .replace("..", ` ${words.to} `);
}
