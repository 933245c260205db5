import { cell, writeCsv } from "@/files/log-csv";
import type { Run } from "@/records";
import { addSource } from "@/store/sources";
import { saveTest } from "@/store/tests";
import { exportLog } from "@/store/transfer";
import { entry, keeping, NOW } from "../helpers/examples";

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

test("numbers stay numbers, even negative ones", () => {
  expect(cell(-2.5)).toBe("-2.5");
  expect(cell(null)).toBe("");
  expect(cell(true)).toBe("true");
});

test("tube details and photo marks have their own columns", async () => {
  const source = await addSource(entry(), true, NOW);
  const kept = keeping(source);
  const known = { calibration: [50, 100].map((nominal) => ({ nominal, true: nominal - 0.3 })), offset: -0.8 };
  const at = (y: number) => ({ x: 410, y });
  const marks = {
    photo: "9f".repeat(32),
    bottom_volume: 5,
    bottom: at(900),
    water: at(610),
    fuel: at(130),
    line: at(240),
  };
  const run = { ...(kept.test.runs[0] as Run), line_half_width: 0.4, marks };
  const tube = { ...kept.test.tube, ...known, offset_uncertainty: 1.9 };
  await saveTest({ ...kept, test: { ...kept.test, tube, runs: [run] } }, NOW);
  const [head, row] = writeCsv(await exportLog())
    .split("\r\n")
    .map((line) => line.split(","));
  const column = (name: string) => row?.[head?.indexOf(name) ?? -1];
  expect(column("calibration_mL")).toBe("50=49.7 100=99.7");
  expect(column("tube_offset_percent")).toBe("-0.8");
  expect(column("tube_offset_expanded_uncertainty_percent")).toBe("1.9");
  expect(column("line_half_width_mL")).toBe("0.4");
  expect(column("marked_photo")).toBe(marks.photo);
  expect(column("bottom_mark_mL")).toBe("5");
  expect(["bottom_mark_px", "water_mark_px", "fuel_mark_px", "line_px"].map(column)).toEqual([
    "410 900",
    "410 610",
    "410 130",
    "410 240",
  ]);
});

test("one row per run, every row as long as the header, units in the header", async () => {
  const source = await addSource(entry({ name: "=cmd()", pump: 'Pump "2", left' }), true, NOW);
  const run = { water: 50, fuel: 50, line: 88.5, percent: null, top: null };
  await saveTest(keeping(source, { temperature: -4, runs: [run, { ...run, line: 88 }], note: "cold, windy" }), NOW);
  const rows = writeCsv(await exportLog()).split("\r\n");
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
