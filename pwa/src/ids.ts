/** Identifiers made on the device: UUID version 7 (RFC 9562) that reveal the day they were made, and no more. */

const DAY = 86_400_000;

/**
 * A new identifier. Its timestamp is the start of the day (UTC), as RFC 9562 allows: ids are public, and the minute of
 * a visit is not. So the ids of one day sort in random order.
 */
export function newId(now: number = Date.now()): string {
  return uuid7(Math.floor(now / DAY) * DAY, randomBytes(10));
}

/** time: ms since 1970. random: 10 bytes. */
export function uuid7(time: number, random: Uint8Array): string {
  const bytes = new Uint8Array(16);
  const view = new DataView(bytes.buffer);
  view.setUint16(0, Math.floor(time / 2 ** 32));
  view.setUint32(2, time % 2 ** 32);
  bytes.set(random, 6);
  view.setUint8(6, 0x70 | (view.getUint8(6) & 0x0f));
  view.setUint8(8, 0x80 | (view.getUint8(8) & 0x3f));
  return grouped(bytes);
}

/** 16 bytes in the usual form of a UUID. */
export function grouped(bytes: Uint8Array): string {
  const hex = toHex(bytes);
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}

export function randomBytes(count: number): Uint8Array<ArrayBuffer> {
  return crypto.getRandomValues(new Uint8Array(count));
}

export function toHex(bytes: Uint8Array): string {
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** The bytes of pairs of hex digits. */
export function bytesOf(hex: string): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(hex.match(/../g) ?? [], (pair) => Number.parseInt(pair, 16));
}

export async function sha256(bytes: ArrayBuffer | Uint8Array<ArrayBuffer>): Promise<Uint8Array<ArrayBuffer>> {
  return new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
}
