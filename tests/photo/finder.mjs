// The app's own reading of pictures: a task a line on standard input, its answer a line on standard output.
// Runs in pwa/. A task: the file of the pixels, width, height, marks, the volumes of the known marks, and how far off a
// hand may place a mark, pixels. An answer: the line and its half-width in mL, or null when there is no clear one.
import { readFileSync } from "node:fs";
import { createInterface } from "node:readline";
import { pathToFileURL } from "node:url";

const app = pathToFileURL(`${process.cwd()}/`);
const { runnerImport } = await import(new URL("node_modules/vite/dist/node/index.js", app));
const load = async (name) => (await runnerImport(new URL(`src/chemistry/${name}.ts`, app).pathname)).module;
const { line_half_width, line_of_marks } = await load("axis");
const { suggest_line } = await load("photo");

for await (const text of createInterface({ input: process.stdin })) {
  const { file, width, height, marks, volumes, hand } = JSON.parse(text);
  const found = suggest_line(readFileSync(file), width, height, marks);
  const placed = found && { ...marks, line: found.place };
  const answer = placed && {
    line: line_of_marks(placed, ...volumes),
    // As screens/test/photo-line.ts: the line is never said to be surer than a hand.
    half_width: line_half_width(placed, ...volumes, Math.max(hand, found.half_width), hand),
  };
  process.stdout.write(`${JSON.stringify(answer)}\n`);
}
