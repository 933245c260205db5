/** Compares two trees of labels: each fault is one sentence that starts with its path. */

type Said = (...given: string[]) => unknown;

/** Every text and function of a tree with its path. */
export function leaves(tree: unknown, path = ""): Map<string, unknown> {
  if (typeof tree !== "object" || tree === null) return new Map([[path, tree]]);
  return new Map(
    Object.entries(tree).flatMap(([key, value]) => [...leaves(value, path === "" ? key : `${path}.${key}`)]),
  );
}

/** The text of a leaf; a function gets a placeholder for each argument: ‹0›, ‹1› and so on. */
export function textOf(leaf: unknown): string {
  if (typeof leaf !== "function") return String(leaf);
  return String((leaf as Said)(...Array.from({ length: leaf.length }, (_, at) => `‹${at}›`)));
}

/** The placeholders in a text: those of a function's arguments, or the names in braces in a sentence. */
export function places(text: string): string[] {
  return [...new Set(text.match(/‹\d›|\{\w+\}/g))].sort();
}

export function differences(first: unknown, second: unknown): string[] {
  const [one, other] = [leaves(first), leaves(second)];
  const missing = [...one.keys()].filter((path) => !other.has(path)).map((path) => `${path} is missing`);
  const strange = [...other.keys()].filter((path) => !one.has(path)).map((path) => `${path} is only in the second`);
  const unlike = [...one].filter(([path]) => other.has(path)).flatMap(([path, leaf]) => unlikeness(path, leaf, other));
  return [...missing, ...strange, ...unlike];
}

function unlikeness(path: string, leaf: unknown, other: Map<string, unknown>): string[] {
  const found = other.get(path);
  if (typeof found !== typeof leaf) return [`${path} is ${typeof leaf} in the first, ${typeof found} in the second`];
  if (typeof leaf === "function" && leaf.length !== (found as Said).length) return [`${path} takes other arguments`];
  const [here, there] = [textOf(leaf), textOf(found)];
  if ((here === "") !== (there === "")) return [`${path} is empty in one of them`];
  const same = places(here).join() === places(there).join();
  return same ? [] : [`${path} fills in ${places(here)} in the first, ${places(there)} in the second`];
}

/** Other arguments that may change the wording: numbers, and directions of a change. */
const SAMPLES: readonly unknown[] = [0, 1, 2, 3, "up", "down"];

/** Every text that a leaf can produce, in the same order as in another language. */
function textsOf(leaf: unknown): (string | null)[] {
  if (typeof leaf !== "function") return [textOf(leaf)];
  return [textOf(leaf), ...SAMPLES.map((sample) => saidOf(leaf as Said, sample))];
}

/** Null if the function needs text and not a number. */
function saidOf(leaf: Said, sample: unknown): string | null {
  try {
    return String(leaf(...(Array(leaf.length).fill(sample) as string[])));
  } catch {
    return null;
  }
}

/** The texts with words that are equal in both languages for any arguments, except allowed ones. */
export function untranslated(first: unknown, second: unknown, alike: readonly string[] = []): string[] {
  const other = leaves(second);
  return [...leaves(first)].flatMap(([path, leaf]) => {
    const there = textsOf(other.get(path)).map(plain);
    const same = textsOf(leaf).filter((text, at) => isWords(text) && plain(text) === there[at]);
    return alike.includes(plain(textOf(leaf)) ?? "") ? [] : same.map((text) => plain(text) ?? "");
  });
}

/** Treat all spaces alike. */
function plain(text: string | null | undefined): string | null {
  return text?.replaceAll("\u00a0", " ") ?? null;
}

function isWords(text: string | null): text is string {
  return text !== null && /\p{L}{2}/u.test(text.replace(/‹\d›|\b(up|down)\b/g, ""));
}

/** Remove what is the same in every language and would break the checks. */
const TECHNICAL = /https?:\/\/\S*|\d\d:\d\d(:\d\d)?|Authorization: Bearer|\/api\/\S*|± \?/g;

/** Short words common in English that are not words of the app's other languages. */
const ENGLISH = /\b(the|and|of|are|with|this|your|which|there|until|from|have)\b/i;

/** Texts of another language with English in them. */
export function english(tree: unknown): string[] {
  return texts(tree).filter((text) => ENGLISH.test(text.replace(TECHNICAL, "")));
}

/** Every text of a tree. */
export function texts(tree: unknown): string[] {
  return [...leaves(tree)].flatMap(([, leaf]) => textsOf(leaf).filter((text) => text !== null));
}

/**
 * Typographic faults by language. French: a no-break space before high punctuation and inside quotes. Elsewhere:
 * none before them. In all but English (its older texts): a no-break space before %, and no straight apostrophe.
 */
const BAD_TYPE: Record<string, RegExp> = {
  en: /[ \u00a0][:;?!]/,
  fr: /(^|[^\u00a0 ?!])[;?!»]|[^\u00a0]:|\d%|«(?!\u00a0)| [:;?!%»]|'/,
};
const BAD_ELSEWHERE = /[ \u00a0][:;?!]|[\d›}]%|[\d›}] %|'/;

export function badType(tree: unknown, language: string): string[] {
  const bad = BAD_TYPE[language] ?? BAD_ELSEWHERE;
  return [...leaves(tree)]
    .filter(([, leaf]) => bad.test(textOf(leaf).replace(TECHNICAL, "")))
    .map(([path, leaf]) => `${path}: ${textOf(leaf)}`);
}
