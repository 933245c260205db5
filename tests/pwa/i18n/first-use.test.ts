/** Code that runs before a language's second file has loaded reads no label of that file. */

import * as first from "@/i18n/en";
import * as rest from "@/i18n/en/en-rest";
import { reachable, type Sources, sectionsOf } from "./reach";

const START = "../../../pwa/src/";
const read = import.meta.glob<string>("../../../pwa/src/**/*.{ts,tsx}", {
  eager: true,
  query: "?raw",
  import: "default",
});
const sources = new Map(
  Object.entries(read)
    .map(([path, text]) => [path.slice(START.length), text] as const)
    .filter(([path]) => !path.startsWith("i18n/")),
);

/** Every use of a section that may not be loaded, and how the module that uses it is reached. */
function breaches(of: Sources, there: readonly string[]): string[] {
  return [...reachable(of, "main.tsx")].flatMap(([path, way]) =>
    sectionsOf(of.get(path) ?? "")
      .filter((section) => !there.includes(section))
      .map((section) => `${section}: ${way.join(" > ")}`),
  );
}

it("finds the labels that exist", () => {
  expect(breaches(sources, Object.keys(first))).toEqual([]);
});

it("covers the start page and what loads before the other labels, and no more", () => {
  const seen = [...reachable(sources, "main.tsx").keys()];
  expect(seen).toEqual(expect.arrayContaining(["shell/app.tsx", "screens/test/source-stage.tsx", "state/router.ts"]));
  expect(seen).toEqual(
    expect.arrayContaining(["sync/outbox.ts", "store/recompute.ts", "screens/shared/method/index.tsx"]),
  );
  const lazyOnes = [
    "screens/sources/index.tsx",
    "screens/log/index.tsx",
    "screens/test/sheet-end.tsx",
    "screens/test/correct.tsx",
  ];
  expect(seen.filter((path) => lazyOnes.includes(path))).toEqual([]);
  expect(lazyOnes.filter((path) => !sources.has(path))).toEqual([]);
});

it("assigns every section to exactly one file", () => {
  const known = [...Object.keys(first), ...Object.keys(rest)];
  expect(new Set(known).size).toBe(known.length);
  const said = [...sources.values()].flatMap(sectionsOf);
  expect(known.filter((section) => !said.includes(section))).toEqual([]);
  expect(said.filter((section) => !known.includes(section))).toEqual([]);
});

describe("the check finds deliberate faults", () => {
  const page = (more: Record<string, string>) =>
    new Map(Object.entries({ "main.tsx": 'import { a } from "./widgets/a";\nimport "./print.css";', ...more }));

  it.each<[string, Record<string, string>, string[]]>([
    ["at once", { "widgets/a.ts": "labels.log.title" }, ["log: main.tsx > widgets/a.ts"]],
    [
      "over several lines and folders",
      { "widgets/a.ts": 'import {\n  b,\n} from "../b";', "b/index.tsx": "const { common, log: words } = labels;" },
      ["log: main.tsx > widgets/a.ts > b/index.tsx"],
    ],
    [
      "passed on",
      { "widgets/a.ts": 'export * from "../b";', "b.ts": "labels.log" },
      ["log: main.tsx > widgets/a.ts > b.ts"],
    ],
    [
      "at any time",
      { "widgets/a.ts": 'const { b } = await import("../b");', "b.ts": "labels.log" },
      ["log: main.tsx > widgets/a.ts > b.ts"],
    ],
    [
      "by a part that does not wait",
      { "widgets/a.ts": 'const B = lazy<object>(() => import("../b"), "first");', "b.ts": "labels.log" },
      ["log: main.tsx > widgets/a.ts > b.ts"],
    ],
    ["in a way that hides what", { "widgets/a.ts": "say(labels)" }, ["?: main.tsx > widgets/a.ts"]],
    ["by a name", { "widgets/a.ts": "labels[place].title" }, ["?: main.tsx > widgets/a.ts"]],
  ])("where the rest is read %s", (_, more, told) => {
    expect(breaches(page(more), ["common"])).toEqual(told);
  });

  it("allows a section in its proper file", () => {
    const more = {
      "widgets/a.ts": [
        'const B = lazy<object>(() => import("../b"));',
        'const C = lazy(async () => ({ default: (await import("../b")).C }));',
        'import type { D } from "../b";',
        "// labels.log",
        "labels.common.name;",
      ].join("\n"),
      "b.ts": "labels.log",
    };
    expect(breaches(page(more), ["common"])).toEqual([]);
  });
});
