/** Which labels modules read, and which modules a page loads before a language's second file. */

/** Source text by its path in pwa/src, such as `shell/app.tsx`. */
export type Sources = ReadonlyMap<string, string>;

/** Before a comma or the end of a call, a part that waits for its program only, and says what is there at once. */
const LAZY = /\blazy(?:<[^>]*>)?\(\s*(?:async )?\(\) =>[^;]*;/g;
const FIRST = /"first"\s*,?\s*\);$/;
const STATIC = /^(?:import|export)\b(?!\s+type\b)[^;"]*"([^"]+)"/gm;
const DYNAMIC = /\bimport\(\s*"([^"]+)"\s*\)/g;

/** The modules that a page can run without waiting for all labels, and how each is reached. */
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

/** The modules that a module imports statically, or dynamically without waiting for the labels. */
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

/** The label sections that a module reads; "?" if that cannot be seen from its code. */
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
