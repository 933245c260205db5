/** Finding a source by a few letters. */

import type { FiguresRow } from "../../../rows/source";

/** Tells whether every word of the text is in the name or the pump label; accents and case do not matter. */
export function matching(text: string): (row: Pick<FiguresRow, "name" | "pump">) => boolean {
  const wanted = plain(text).split(/\s+/).filter(Boolean);
  if (wanted.length === 0) return () => true;
  return ({ name, pump }) => {
    const given = plain(`${name} ${pump}`);
    return wanted.every((word) => given.includes(word));
  };
}

function plain(text: string): string {
  return text
    .normalize("NFD")
    .replace(/\p{Mark}/gu, "")
    .toLowerCase();
}
