/** Safari deletes a page's data if it is not opened for some weeks, unless it is on the home screen. */

import { countTests } from "../store/tests";

/** True in the browser of an iPhone or iPad, outside the home screen, once there is something to lose. */
export async function isAtRisk(): Promise<boolean> {
  if (!isApple() || isInstalled()) return false;
  return (await countTests()) > 0;
}

function isApple(): boolean {
  const { userAgent, maxTouchPoints } = navigator;
  return /iPhone|iPad|iPod/.test(userAgent) || (/Macintosh/.test(userAgent) && maxTouchPoints > 1);
}

function isInstalled(): boolean {
  return (
    matchMedia("(display-mode: standalone)").matches || (navigator as { standalone?: boolean }).standalone === true
  );
}
