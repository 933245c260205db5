/** Hash routes: `#/source/ID` is ["source", "ID"]. A hash works offline and behind any server. */

import { path } from "./signals";

export function parse(hash: string): string[] {
  const parts = hash
    .replace(/^#\/?/, "")
    .split("/")
    .filter((part) => part !== "")
    .map(decode);
  return parts.length > 0 ? parts : ["test"];
}

/** The URL of a route, for `href`. */
export function to(...parts: string[]): string {
  return `#/${parts.map(encodeURIComponent).join("/")}`;
}

/** The same for another phone, including the server's origin. */
export function addressOf(...parts: string[]): string {
  return `${location.origin}/${to(...parts)}`;
}

/** Navigates there; `replace` adds no history entry. */
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
  history.scrollRestoration = "manual";
  path.value = parse(location.hash);
  addEventListener("hashchange", () => {
    path.value = parse(location.hash);
    scrollBack((history.state as { y?: number } | null)?.y ?? 0);
  });
  let timer: ReturnType<typeof setTimeout> | undefined;
  addEventListener("scroll", () => {
    clearTimeout(timer);
    const here = location.hash;
    timer = setTimeout(() => {
      if (location.hash === here) history.replaceState({ y: scrollY }, "");
    }, PAUSE);
  });
}

/** ms without scrolling after which the position is saved; browsers allow only a few history updates a second. */
const PAUSE = 200;
/** ms in which a list may grow to its old height. */
const PATIENCE = 800;

/** Restores the scroll position in a list, once it is long enough again; a new address starts at the top. */
function scrollBack(y: number): void {
  const until = performance.now() + PATIENCE;
  const attempt = () => {
    scrollTo(0, y);
    const isThere = Math.abs(scrollY - y) < 2;
    if (!isThere && performance.now() < until) requestAnimationFrame(attempt);
  };
  attempt();
}

function decode(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}
