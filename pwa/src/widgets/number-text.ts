/** Parses typed numbers, and steps them for the plus and minus buttons. */

import { decimalSign } from "../i18n/format";

/** The number in the text, with a decimal point or comma; null for an empty text, NaN for anything else. */
export function numberOf(text: string): number | null {
  const plain = text
    .trim()
    .replace(/[\s'’]/g, "")
    .replace(/[−–]/g, "-")
    .replace(",", ".");
  if (plain === "") return null;
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : Number.NaN;
}

/** The next multiple of the step in that direction, within the limits and without binary floating-point noise. */
export function stepped(value: number, step: number, direction: 1 | -1, min: number, max: number): number {
  const position = value / step;
  const nearest = Math.round(position);
  const onStep = Math.abs(position - nearest) < 1e-6;
  const towards = direction === 1 ? Math.floor(position) : Math.ceil(position);
  const next = (onStep ? nearest : towards) + direction;
  const clean = Number((next * step).toFixed(6));
  return Math.min(max, Math.max(min, clean));
}

/** The inverse of `numberOf`: the shortest text for the number, with the language's decimal sign. */
export function textOf(value: number | null): string {
  return value === null ? "" : String(Number(value.toFixed(6))).replace(".", decimalSign());
}
