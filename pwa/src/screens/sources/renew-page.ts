/**
 * The page brings its policy along from when it was installed. A keeper who names map pictures later is not in it: the
 * worker then fetches the page anew, and the next time it is opened it admits them.
 */

/** Listens for pictures of this origin that the policy keeps out. Gives the way to stop. */
export function renewPageFor(origin: string): () => void {
  const kept = ({ blockedURI }: SecurityPolicyViolationEvent) => {
    if (!blockedURI.startsWith(origin)) return;
    document.removeEventListener("securitypolicyviolation", kept);
    navigator.serviceWorker?.controller?.postMessage("new page");
  };
  document.addEventListener("securitypolicyviolation", kept);
  return () => document.removeEventListener("securitypolicyviolation", kept);
}
