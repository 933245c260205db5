/** Hash routes: `#/source/ID` is ["source", "ID"]. A hash works offline and behind any server. */

import { signal } from "@preact/signals";

export const path = signal<string[]>(parse(globalThis.location?.hash ?? ""));

export function parse(hash: string): string[] {
  const parts = hash
    .replace(/^#\/?/, "")
    .split("/")
    .filter((part) => part !== "")
    .map(decode);
  return parts.length > 0 ? parts : ["test"];
}

/** The address of a place, for `href`. */
export function to(...parts: string[]): string {
  return `#/${parts.map(encodeURIComponent).join("/")}`;
}

/** Goes there; `replace` leaves no step back. */
export function go(parts: string[], replace = false): void {
  const target = to(...parts);
  if (replace) {
    history.replaceState(null, "", target);
    path.value = parse(target);
  } else {
    location.hash = target;
  }
}

export function startRouter(): void {
  addEventListener("hashchange", () => {
    path.value = parse(location.hash);
    scrollTo(0, 0);
  });
}

function decode(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}
