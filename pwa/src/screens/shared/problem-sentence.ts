/** What a problem means, in the language of the app. */

import type { Problem } from "../../errors";
import { labels } from "../../i18n";
import { decimalSign } from "../../i18n/format";
import { fieldName } from "./field-name";

/** Shown for a missing figure. */
const NONE = "–";

/** The server's own sentence, if this version does not know the code or the figures for its sentence are missing. */
export function problemSentence(problem: Problem & { sentence?: string }): string {
  const sentence = (labels.problems as Record<string, string>)[problem.code];
  if (sentence === undefined) return problem.sentence || labels.result.fault;
  const { value, field, limit } = problem;
  const lacks = (sentence.includes("{value}") && value === "") || (sentence.includes("{limit}") && limit === "");
  if (lacks && problem.sentence) return problem.sentence;
  return sentence.replace(/\{(value|field|limit)\}/g, (_, name, at) => {
    if (name === "field") return at === 0 ? fieldName(field) : within(fieldName(field));
    return (name === "value" ? written(value) : spoken(written(limit))) || NONE;
  });
}

/** A name as written inside a sentence. */
function within(name: string): string {
  return name.charAt(0).toLowerCase() + name.slice(1);
}

/** `>= 50` and `0..100` are for programs; people read "at least 50" and "0 to 100". */
function spoken(limit: string): string {
  const words = labels.result.limit;
  return limit
    .replace(/^>=\s*/, `${words.atLeast} `)
    .replace(/^<=\s*/, `${words.atMost} `)
    .replace(/^>\s*/, `${words.above} `)
    .replace("..", ` ${words.to} `);
}

/** Numbers with the language's decimal sign; names, times and codes as they are. */
function written(text: string): string {
  return /^[<>=\s\d.+-]+$/.test(text) ? text.replace(/(\d)\.(\d)/g, `$1${decimalSign()}$2`) : text;
}
