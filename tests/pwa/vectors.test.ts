// Every vector written by Python, called on the counterpart with the same module and function name.
import { readFileSync } from "node:fs";
import { Unusable } from "@/errors";

interface Case {
  module: string;
  function: string;
  arguments: unknown[];
  expected?: unknown;
  problems?: unknown;
}
type Cases = { cases: Case[] };
type Counterpart = Record<string, (...values: unknown[]) => unknown>;

// Imported so that `vitest --changed` knows this test depends on them.
const written = import.meta.glob<Cases>("../../fixtures/vectors/*.json", { eager: true, import: "default" });
/** A file with further cases, given by the test that compares both languages on random input. */
const MORE = process.env.SPLITLINE_CASES;
const RELATIVE = 1e-9;
const counterparts = import.meta.glob<Counterpart>(
  ["../../pwa/src/{chemistry,statistics,checking}/*.ts", "../../pwa/src/identity.ts"],
  { eager: true },
);

async function answer(found: Case): Promise<unknown> {
  const counterpart = counterparts[`../../pwa/src/${found.module}.ts`];
  const call = counterpart?.[found.function];
  if (!call) throw new Error(`no counterpart of ${found.module} ${found.function}`);
  try {
    return { expected: await call(...found.arguments) };
  } catch (fault) {
    if (fault instanceof Unusable) return { problems: fault.problems };
    throw fault;
  }
}

/** The largest relative difference of any real in two answers (to 0.001 where smaller); all else must be equal. */
function difference(ours: unknown, theirs: unknown, path: string): number {
  if (typeof ours === "number" && typeof theirs === "number")
    return Math.abs(ours - theirs) / Math.max(1e-3, Math.abs(theirs));
  if (typeof ours === "object" && typeof theirs === "object" && ours !== null && theirs !== null) {
    const [a, b] = [Object.keys(ours).sort(), Object.keys(theirs).sort()];
    expect(a, path).toEqual(b);
    const at = (value: object, key: string) => (value as Record<string, unknown>)[key];
    return Math.max(0, ...a.map((key) => difference(at(ours, key), at(theirs, key), `${path}.${key}`)));
  }
  expect(ours, path).toEqual(theirs);
  return 0;
}

async function compare(name: string, cases: Case[]): Promise<void> {
  let largest = 0;
  for (const [index, found] of cases.entries()) {
    const { module: _m, function: _f, arguments: _a, ...theirs } = found;
    const path = `${name}[${index}] ${found.module} ${found.function}`;
    const off = difference(await answer(found), theirs, path);
    expect(off, path).toBeLessThanOrEqual(RELATIVE);
    largest = Math.max(largest, off);
  }
  console.info(`${name}: ${cases.length} cases, largest relative difference ${largest.toExponential(1)}`);
}

describe("the counterparts give the same answers as Python", () => {
  const files = MORE ? { [MORE]: JSON.parse(readFileSync(MORE, "utf8")) as Cases } : written;
  test.each(Object.entries(files))(
    "%s",
    async (file, { cases }) => {
      expect(cases.length).toBeGreaterThan(0);
      await compare(file.split("/").at(-1) as string, cases);
    },
    120_000,
  );
});
