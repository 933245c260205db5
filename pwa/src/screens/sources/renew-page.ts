/**
 * The page's policy dates from when it was installed. If the server names map tiles later, the policy lacks them: the
 * service worker then fetches the page again, and it allows them the next time it is opened.
 */

/** Watches for images of this origin that the policy blocks. Returns a function that stops it. */
export function renewPageFor(origin: string): () => void {
  const kept = ({ blockedURI }: SecurityPolicyViolationEvent) => {
    if (!blockedURI.startsWith(origin)) return;
    document.removeEventListener("securitypolicyviolation", kept);
    navigator.serviceWorker?.controller?.postMessage("new page");
  };
  document.addEventListener("securitypolicyviolation", kept);
  return () => document.removeEventListener("securitypolicyviolation", kept);
}
