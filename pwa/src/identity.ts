/** What is derived from a secret: the names others see, and ids that only the secret's holder can make. */
// Counterpart of identity.py; digest: SHA-256 of the secret, as hex.

import { bytesOf, grouped, toHex } from "./ids";

/** The first of the bits that bind an id: its last 42. */
const BOUND = { byte: 10, bits: 2 } as const;

/** The public name of a contributor, 16 hex digits: different in every region and calendar year. */
export async function pseudonym(digest: string, region: string, year: number): Promise<string> {
  return toHex(await keyed(digest, new TextEncoder().encode(`${region} ${year}`))).slice(0, 16);
}

/** An id (UUID version 7) whose last 42 bits depend on the rest and the secret: a server can check who made it. */
export async function bound(record: string, digest: string): Promise<string> {
  const bytes = bytesOf(record.replaceAll("-", ""));
  const { byte, bits } = BOUND;
  const low = (1 << bits) - 1;
  bytes[byte] = (bytes[byte] as number) & ~low;
  bytes.fill(0, byte + 1);
  const made = await keyed(digest, bytes);
  // The first 42 bits of the digest become the last 42 of the id.
  const across = 8 - bits;
  for (let at = byte; at < 16; at += 1) {
    const [before = 0, here = 0] = [made[at - byte - 1], made[at - byte]];
    const value = ((before << bits) | (here >> across)) & (at === byte ? low : 0xff);
    bytes[at] = (bytes[at] as number) | value;
  }
  return grouped(bytes);
}

async function keyed(digest: string, message: Uint8Array<ArrayBuffer>): Promise<Uint8Array> {
  const hmac = { name: "HMAC", hash: "SHA-256" };
  const key = await crypto.subtle.importKey("raw", bytesOf(digest), hmac, false, ["sign"]);
  return new Uint8Array(await crypto.subtle.sign("HMAC", key, message));
}
