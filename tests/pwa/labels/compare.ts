/** Two trees of labels beside each other: every breach as one sentence that begins with where it is. */

type Said = (...given: string[]) => unknown;

/** Every text and function of a tree with its path. */
export function leaves(tree: unknown, path = ""): Map<string, unknown> {
  if (typeof tree !== "object" || tree === null) return new Map([[path, tree]]);
  return new Map(
    Object.entries(tree).flatMap(([key, value]) => [...leaves(value, path === "" ? key : `${path}.${key}`)]),
  );
}

/** The text of a leaf; a function is given a sign for each of its arguments: ‹0›, ‹1› and so on. */
export function textOf(leaf: unknown): string {
  if (typeof leaf !== "function") return String(leaf);
  return String((leaf as Said)(...Array.from({ length: leaf.length }, (_, at) => `‹${at}›`)));
}

/** What a text fills in: the signs of a function's arguments, the names in the braces of a sentence. */
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

/** The texts with words that are the same in both. */
export function untranslated(first: unknown, second: unknown): string[] {
  const other = leaves(second);
  return [...leaves(first)]
    .map(([path, leaf]) => [textOf(leaf), textOf(other.get(path))] as const)
    .filter(([here, there]) => /\p{L}{2}/u.test(here.replace(/‹\d›/g, "")) && here === there)
    .map(([here]) => here);
}

/** Where the type is not French: a space that may break before a high sign, none at all, or a straight apostrophe. */
export function badType(tree: unknown): string[] {
  const technical = /https?:\/\/\S*|\d\d:\d\d(:\d\d)?|Authorization: Bearer/g;
  return [...leaves(tree)]
    .filter(([, leaf]) =>
      /(^|[^\u00a0 ?!])[;?!»]|[^\u00a0]:|\d%|«(?!\u00a0)| [:;?!%»]|'/.test(textOf(leaf).replace(technical, "")),
    )
    .map(([path, leaf]) => `${path}: ${textOf(leaf)}`);
}
