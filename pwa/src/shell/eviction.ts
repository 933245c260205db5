/** Safari clears what a page keeps when it was not opened for some weeks, unless it is on the home screen. */

import { countTests } from "../store/tests";

/** True on an iPhone's or iPad's browser, outside the home screen, once there is something to lose. */
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
