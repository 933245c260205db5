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

/** The address of a place, for `href`. */
export function to(...parts: string[]): string {
  return `#/${parts.map(encodeURIComponent).join("/")}`;
}

/** The same for another phone: with the server it comes from. */
export function addressOf(...parts: string[]): string {
  return `${location.origin}/${to(...parts)}`;
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

/** ms without scrolling after which the height is remembered; browsers allow few entries a second. */
const PAUSE = 200;
/** ms in which a list may grow to its old height. */
const PATIENCE = 800;

/** Back to where one was in a list, once it is long enough again; a new address starts at the top. */
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
