import { cell, writeCsv } from "@/files/log-csv";
import { carryOut } from "@/store/carry";
import { addSource } from "@/store/sources";
import { keepTest } from "@/store/tests";
import { entry, keeping, NOW } from "../invented";

test("quotes as RFC 4180 section 2 says, rules 5 to 7", () => {
  expect(cell("aaa")).toBe("aaa");
  expect(cell("b,bb")).toBe('"b,bb"');
  expect(cell("b\r\nbb")).toBe('"b\r\nbb"');
  expect(cell('b"bb')).toBe('"b""bb"');
});

test.each(["=1+1", "+1", "-1+2", "@SUM(A1)", "\tx", "\rx"])(
  "text that a spreadsheet would run is disarmed: %j",
  (text) => {
    expect(cell(text).replace(/^"/, "")).toMatch(/^'/);
  },
);

test("numbers stay numbers, also negative ones", () => {
  expect(cell(-2.5)).toBe("-2.5");
  expect(cell(null)).toBe("");
  expect(cell(true)).toBe("true");
});

test("one row per run, every row as long as the header, units in the header", async () => {
  const source = await addSource(entry({ name: "=cmd()", pump: 'Pump "2", left' }), true, NOW);
  const run = { water: 50, fuel: 50, line: 88.5, percent: null, top: null };
  await keepTest(keeping(source, { temperature: -4, runs: [run, { ...run, line: 88 }], note: "cold, windy" }), NOW);
  const rows = writeCsv(await carryOut()).split("\r\n");
  expect(rows.at(-1)).toBe("");
  const [head, first, second] = rows.map((row) =>
    row.match(/("([^"]|"")*"|[^,]*)(,|$)/g)?.map((one) => one.replace(/,$/, "")),
  );
  const column = (name: string, row: string[] | undefined) => row?.[head?.indexOf(name) ?? -1];
  expect(rows).toHaveLength(4);
  expect(column("source_name", first)).toBe("'=cmd()");
  expect(column("pump", first)).toBe('"Pump ""2"", left"');
  expect([column("run", first), column("line_mL", first)]).toEqual(["1", "88.5"]);
  expect([column("run", second), column("line_mL", second)]).toEqual(["2", "88"]);
  expect(column("temperature_C", second)).toBe("-4");
  expect(column("note", second)).toBe('"cold, windy"');
});
