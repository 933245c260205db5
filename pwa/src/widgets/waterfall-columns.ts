/** The geometry of a waterfall chart: from contents in % (V/V) to heights in % of the picture. */

export interface Corrections {
  /** % (V/V) */
  asRead: number;
  changes: readonly number[];
  content: number;
  uncertainty: number;
}

export interface Column {
  /** The label in the list beside the picture. */
  letter: string;
  /** level: a content; up, down: a correction. */
  kind: "level" | "up" | "down";
  value: number;
  /** Ends of the bar, and the level it leads to, % of the picture. */
  low: number;
  high: number;
  end: number;
  spread: readonly [number, number] | null;
}

/** The smallest range of the picture, points of content, so that a small correction looks small. */
const LEAST_SPAN = 4;
/** Space below the lowest end and above the highest one for its figure, as a share of the picture. */
const BELOW = 0.26;
const ABOVE = 0.16;

export function letterOf(index: number): string {
  return String.fromCharCode("a".charCodeAt(0) + index);
}

/** One column for the line as read, one per correction, one for the content. */
export function columnsOf({ asRead, changes, content, uncertainty }: Corrections): Column[] {
  const levels = [asRead];
  for (const change of changes) levels.push((levels.at(-1) ?? 0) + change);
  const ends = [...levels, content - uncertainty, content + uncertainty];
  const bottom = Math.min(...ends);
  const span = Math.max(LEAST_SPAN, Math.max(...ends) - bottom);
  const height = (level: number) => 100 * (BELOW + (1 - BELOW - ABOVE) * ((level - bottom) / span));
  const whole = (index: number, value: number, spread: Column["spread"]): Column => ({
    letter: letterOf(index),
    kind: "level",
    value,
    low: 0,
    high: height(value),
    end: height(value),
    spread,
  });
  const steps = changes.map((change, index): Column => {
    const [from, to] = [height(levels[index] ?? 0), height(levels[index + 1] ?? 0)];
    return {
      letter: letterOf(index + 1),
      kind: change < 0 ? "down" : "up",
      value: change,
      low: Math.min(from, to),
      high: Math.max(from, to),
      end: to,
      spread: null,
    };
  });
  const band: Column["spread"] = [height(content - uncertainty), height(content + uncertainty)];
  return [whole(0, asRead, null), ...steps, whole(changes.length + 1, content, band)];
}
