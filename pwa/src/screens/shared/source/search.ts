/** Finding a source by a few letters. */

import type { FiguresRow } from "../../../rows/source";

/** True if every word of the text is in the name or the pump label; accents and case do not matter. */
export function matches(row: Pick<FiguresRow, "name" | "pump">, text: string): boolean {
  const wanted = plain(text).split(/\s+/).filter(Boolean);
  if (wanted.length === 0) return true;
  const given = plain(`${row.name} ${row.pump}`);
  return wanted.every((word) => given.includes(word));
}

function plain(text: string): string {
  return text
    .normalize("NFD")
    .replace(/\p{Mark}/gu, "")
    .toLowerCase();
}
