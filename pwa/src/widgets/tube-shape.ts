/** The geometry of the tube glyph, in its own drawing units; y grows downwards. */

export const VIEW = { width: 26, height: 96, scale: 10 } as const;

/** Inside of the glass. 0 % is a little above the round bottom, 100 % a little below the rim. */
export const BORE = { left: 4, width: 18, bottom: 91, height: 80 } as const;

/** A rim, straight walls, a round bottom. */
export const tubeOutline = "M1.5 3.5H24.5M4 3.5V83a9 9 0 0 0 18 0V3.5";

export interface Layers {
  /** Top of the band. */
  top: number;
  /** Below here the layer is certain. */
  solid: number;
  /** The parting line; null for a range. */
  line: number | null;
}

/** The positions of the layer, its soft band and the line; null for an empty tube. */
export function layers(
  content: number | null,
  uncertainty: number | null,
  span: readonly [number, number] | null = null,
  next: readonly [number, number] | null = null,
): Layers | null {
  if (span) return { top: height(span[1]), solid: height(span[0]), line: null };
  if (content === null) return null;
  const spread = uncertainty ?? 0;
  const [low, high] = next ?? [content - spread, content + spread];
  return { top: height(high), solid: height(low), line: height(content) };
}

function height(percent: number): number {
  const inside = Math.min(100, Math.max(0, percent));
  return BORE.bottom - (BORE.height * inside) / 100;
}
