/** The address of a server as a person types it. */

/** The origin, "" for the server the app came from; null when it is no address without a path. */
export function originOf(typed: string): string | null {
  const text = typed.trim().replace(/\/+$/, "");
  if (text === "") return "";
  if (!URL.canParse(text)) return null;
  const url = new URL(text);
  const isLocal = url.hostname === "localhost" || url.hostname === "127.0.0.1";
  const isSecure = url.protocol === "https:" || (url.protocol === "http:" && isLocal);
  return isSecure && url.origin === text.toLowerCase() ? url.origin : null;
}
