/** The outlines of regions from the server: the map is drawn from them, even without a signal. */

import type { OutlineRow } from "../rows/outline";
import { announce } from "./changes";
import { listFigures } from "./figure-rows";
import { run, write } from "./open";

export function listOutlines(): Promise<OutlineRow[]> {
  return run((base) => base.getAll("outlines"));
}

export function readOutline(code: string): Promise<OutlineRow | undefined> {
  return run((base) => base.get("outlines", code));
}

export async function saveOutlines(rows: readonly OutlineRow[]): Promise<void> {
  if (rows.length === 0) return;
  await write(["outlines"], async (writing) => {
    for (const row of rows) await writing.objectStore("outlines").put(row);
  });
  announce("outlines");
}

/** The regions in which this phone knows sources but has no outline with this tag. */
export async function regionsWithoutOutline(tag: string): Promise<string[]> {
  const [figures, outlines] = await Promise.all([listFigures(), listOutlines()]);
  const kept = new Set(outlines.filter((row) => row.tag === tag).map((row) => row.code));
  const known = new Set(figures.flatMap(({ region }) => region ?? []));
  return [...known].filter((code) => !kept.has(code)).sort();
}
