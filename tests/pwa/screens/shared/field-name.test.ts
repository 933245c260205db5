// Every field in a server problem has a readable name; the fields are read from the server's source file.
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { LANGUAGES, type Language, speak } from "@/i18n";
import { fieldName } from "@/screens/shared/field-name";
import { problemSentence } from "@/screens/shared/problem-sentence";

const records = readFileSync(
  fileURLToPath(new URL("../../../../server/splitline/records.py", import.meta.url)),
  "utf8",
);

/** The names of the fields of one Struct. */
function fieldsOf(struct: string): string[] {
  const [, body = ""] =
    new RegExp(`^class ${struct}\\(.*?\\n(.*?)(?=^class |\\Z)`, "ms").exec(`${records}\nclass `) ?? [];
  return [...body.matchAll(/^ {4}([a-z_]+): /gm)].map(([, name]) => name ?? "");
}

const PATHS = [
  ...["Record", "Source", "Test", "Retraction"].flatMap(fieldsOf),
  ...fieldsOf("Tube").map((name) => `tube.${name}`),
  ...fieldsOf("Run").map((name) => `runs[1].${name}`),
];

afterEach(() => speak("en"));

it("reads the fields off the server's file", () => {
  expect(PATHS).toContain("sampled_at");
  expect(PATHS).toContain("tube.graduation");
  expect(PATHS).toContain("runs[1].line_half_width");
  expect(PATHS.length).toBeGreaterThan(35);
});

it.each(LANGUAGES)("every field has a name in %s", async (language: Language) => {
  await speak(language);
  for (const path of PATHS) expect(fieldName(path), path).toMatch(/^\p{Lu}[^_[\].]*$/u);
});

it("counts runs, photos and marks from one, and leaves other names alone", async () => {
  const paths = ["runs[0].line", "runs[2]", "runs[0].marks.bottom.x", "photos[1]", "tube.calibration[0].true", "a.csv"];
  expect(paths.map(fieldName)).toEqual([
    "Line of run 1",
    "Run 3",
    "Marks on the photo of run 1",
    "Photo 2",
    "Weighed mark 1",
    "a.csv",
  ]);
  await speak("fr");
  expect(fieldName("runs[0].line")).toBe("Limite de séparation de la mesure 1");
});

it("has the right initial letter within a sentence", async () => {
  const missing = { code: "field_missing", field: "runs[0].line", value: "", limit: "" };
  expect(problemSentence(missing)).toBe("Line of run 1 is missing; add it.");
  const often = { code: "too_many", field: "address", value: "", limit: "30" };
  expect(problemSentence(often)).toContain("with one internet address in");
  await speak("fr");
  expect(problemSentence(missing)).toMatch(/^Limite de séparation de la mesure 1\u00a0: /);
});
