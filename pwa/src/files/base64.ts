/** Bytes as base64 text, RFC 4648. */

/** Bytes at a time: the number of arguments of a call is limited. */
const PORTION = 0x8000;

export function toBase64(bytes: ArrayBuffer): string {
  const all = new Uint8Array(bytes);
  let text = "";
  for (let at = 0; at < all.length; at += PORTION) text += String.fromCharCode(...all.subarray(at, at + PORTION));
  return btoa(text);
}

/** Decodes text that is shaped like base64; truncated text gives fewer bytes. */
export function fromBase64(text: string): ArrayBuffer {
  const found = decoded(text);
  const bytes = new Uint8Array(found.length);
  for (let at = 0; at < found.length; at += 1) bytes[at] = found.charCodeAt(at);
  return bytes.buffer;
}

function decoded(text: string): string {
  try {
    return atob(text);
  } catch {
    return "";
  }
}
