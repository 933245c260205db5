/** The secret as it is shown, scanned, typed or pasted on the way to another phone. */

/** Distinguishes the code from codes of other things. */
const MARK = "SPLITLINE";
const GROUP = 4;

/** For a QR code: only capitals, digits and a space, which its alphanumeric mode packs most tightly. */
export function codeOf(secret: string): string {
  return `${MARK} ${secret.toUpperCase()}`;
}

/** For people: in groups of four. */
export function spelled(secret: string): string {
  return (secret.match(new RegExp(`.{1,${GROUP}}`, "g")) ?? []).join(" ");
}

/** The secret in a text, with or without the mark, in any case, with any spaces; null if there is none. */
export function secretIn(text: string): string | null {
  const bare = text
    .trim()
    .replace(new RegExp(`^${MARK}\\b`, "i"), "")
    .replace(/[\s-]+/g, "")
    .toLowerCase();
  return /^[0-9a-f]{64}$/.test(bare) ? bare : null;
}
