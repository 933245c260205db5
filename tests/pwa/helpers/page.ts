/** What remembers while a page is open, as main.tsx makes it, without a server to exchange with. */

import { computeHere } from "@/compute";
import { Alarm } from "@/state/alarm";
import { ClockWatch } from "@/state/clock-watch";
import { FigureList } from "@/state/figure-list";
import { Live } from "@/state/live";
import type { Page } from "@/state/page";
import { Sheets } from "@/state/sheets";

/** One that follows the stores until the test is over. */
export async function livePage(): Promise<Page> {
  const page = newPage();
  onTestFinished(() => page.live.stop());
  await page.live.start();
  return page;
}

/** wall: ms since 1970 by the phone's clock. */
export function newPage(wall = () => Date.now()): Page {
  return {
    live: new Live(),
    clock: new ClockWatch(wall, () => performance.now()),
    sheets: new Sheets(),
    figures: new FigureList(),
    alarm: new Alarm(() => undefined),
    compute: computeHere,
    exchangeNow: () => Promise.resolve(),
  };
}
