/** Starts the app: the first screen, then everything that can wait. */

import { render } from "preact";
import "./styles/index.css";
import "./shell/standing.css";
import { Computer } from "./compute";
import { language } from "./i18n";
import { App, preparePlaces } from "./shell/app";
import { startFaults } from "./shell/faults";
import { startQuota } from "./shell/quota";
import { startTheme } from "./shell/theme";
import { repair, startUpdates } from "./shell/update";
import { Alarm } from "./state/alarm";
import { ClockWatch } from "./state/clock-watch";
import { FigureList } from "./state/figure-list";
import { startLanguage } from "./state/language";
import { Live } from "./state/live";
import { type Page, PageProvider } from "./state/page";
import { startRouter } from "./state/router";
import { Sheets } from "./state/sheets";
import { renewOnce } from "./store/renewal";
import { SyncSchedule } from "./sync/when";

const now = () => new Date();
const steady = () => performance.now();

async function start(): Promise<void> {
  if (new URLSearchParams(location.search).has("fresh") && (await repair("/"))) return;
  const root = document.getElementById("app");
  if (root === null) throw new Error("index.html has no #app");
  const { page, sync } = newPage();
  // Storage opens while the labels are loaded and the first screen is drawn.
  const known = page.live.start();
  await startLanguage();
  startFaults();
  startRouter();
  startTheme();
  show(page, root);
  startUpdates();
  await known;
  startQuota();
  // No screen waits for figures. If this or the storage fails, it is tried again at the next start.
  import("./store/figures").then(({ startFigures }) => startFigures(now, page.compute)).catch(() => undefined);
  renewOnce(now(), page.compute).catch(() => undefined);
  sync.start();
  void preparePlaces(page);
}

/** What remembers as long as the page is open, and when to exchange with the server. */
function newPage(): { page: Page; sync: SyncSchedule } {
  const { compute } = new Computer();
  // The exchange code is loaded after the first screen.
  const exchange = async () => (await import("./sync/exchange")).exchange(now, compute);
  const sync = new SyncSchedule({ exchange, steady, random: Math.random });
  const page = {
    live: new Live(),
    clock: new ClockWatch(() => Date.now(), steady),
    sheets: new Sheets(),
    figures: new FigureList(),
    alarm: new Alarm((pattern) => navigator.vibrate?.(pattern)),
    compute,
    exchangeNow: sync.exchangeNow,
  };
  return { page, sync };
}

/**
 * Draws the app. Another language is another tree: every word is read again, and what was entered is in the stores. The
 * page is not loaded again, so a sound that was allowed stays allowed.
 */
function show(page: Page, root: HTMLElement): void {
  let Shown = App;
  const draw = () =>
    render(
      <PageProvider value={page}>
        <Shown key={language.value} />
      </PageProvider>,
      root,
    );
  language.subscribe(draw);
  // During development, Vite replaces changed modules in the open page; the built app has none of this.
  import.meta.hot?.accept("./shell/app", (changed) => {
    Shown = changed?.App ?? Shown;
    draw();
  });
}

void start();
