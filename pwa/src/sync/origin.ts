/** The address of a server as a person types it. */

/** The origin, "" for the server the app came from; null if it is not an address without a path. */
export function originOf(typed: string): string | null {
  const text = typed.trim().replace(/\/+$/, "");
  if (text === "") return "";
  const url = parsed(text);
  if (url === null) return null;
  const isLocal = url.hostname === "localhost" || url.hostname === "127.0.0.1";
  const isSecure = url.protocol === "https:" || (url.protocol === "http:" && isLocal);
  return isSecure && url.origin === text.toLowerCase() ? url.origin : null;
}

function parsed(text: string): URL | null {
  try {
    return new URL(text);
  } catch {
    return null;
  }
}
