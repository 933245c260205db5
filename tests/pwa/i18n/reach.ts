/** What modules read of the labels, and which modules a page has loaded before the rest of a language is there. */

/** Source text by its path in pwa/src, such as `shell/app.tsx`. */
export type Sources = ReadonlyMap<string, string>;

/** Before a comma or the end of a call, a part that waits for its program only, and says what is there at once. */
const LAZY = /\blazy(?:<[^>]*>)?\(\s*(?:async )?\(\) =>[^;]*;/g;
const FIRST = /"first"\s*,?\s*\);$/;
const STATIC = /^(?:import|export)\b(?!\s+type\b)[^;"]*"([^"]+)"/gm;
const DYNAMIC = /\bimport\(\s*"([^"]+)"\s*\)/g;

/** The modules that a page may run without anything that waits for all labels, and how each is reached. */
export function reachable(sources: Sources, entry: string): Map<string, string[]> {
  const ways = new Map([[entry, [entry]]]);
  for (const [path, way] of ways) {
    for (const name of importsOf(sources.get(path) ?? "")) {
      const next = resolved(sources, path, name);
      if (next !== null && !ways.has(next)) ways.set(next, [...way, next]);
    }
  }
  return ways;
}

/** What a module imports at once, or whenever it likes without waiting for the labels. */
function importsOf(source: string): string[] {
  const text = bare(source).replace(LAZY, (call) => (FIRST.test(call) ? call : ""));
  return [...text.matchAll(STATIC), ...text.matchAll(DYNAMIC)].map((found) => found[1] as string);
}

function resolved(sources: Sources, from: string, name: string): string | null {
  if (!name.startsWith(".")) return null;
  const steps = from.split("/").slice(0, -1);
  for (const step of name.split("/")) {
    if (step === "..") steps.pop();
    else if (step !== ".") steps.push(step);
  }
  const base = steps.join("/");
  const ends = ["", ".ts", ".tsx", "/index.ts", "/index.tsx"];
  return ends.map((end) => base + end).find((path) => sources.has(path)) ?? null;
}

/** The sections of the labels that a module reads; "?" where it takes them in a way that does not say which. */
export function sectionsOf(source: string): string[] {
  const text = bare(source).replace(STATIC, "");
  const taken = /\{([^{}]*)\} = labels;/g;
  const named = [...text.matchAll(taken)].flatMap(([, names = ""]) => names.split(",").map((one) => one.split(":")[0]));
  const others = text.replace(taken, "").matchAll(/(?<![.\w])labels\b(?:\.(\w+))?/g);
  const read = [...named, ...[...others].map((found) => found[1] ?? "?")];
  return [...new Set(read.map((one) => one?.trim() ?? ""))].filter((one) => one !== "");
}

/** Without comments. */
function bare(source: string): string {
  return source.replace(/\/\*[\s\S]*?\*\//g, "").replace(/(?<!:)\/\/.*$/gm, "");
}
