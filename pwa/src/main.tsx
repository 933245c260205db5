/** Starts the app: first the screen, then everything that may take its time. */

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

const root = document.getElementById("app");
const now = () => new Date();
const steady = () => performance.now();

async function start(): Promise<void> {
  if (new URLSearchParams(location.search).has("fresh") && (await repair("/"))) return;
  if (root === null) throw new Error("index.html has no #app");
  // Storage opens while the labels are loaded and the first screen is drawn.
  const live = new Live();
  const known = live.start();
  const { compute } = new Computer();
  // What exchanges is loaded after the first screen.
  const exchange = async () => (await import("./sync/exchange")).exchange(now, compute);
  const sync = new SyncSchedule({ exchange, steady, random: Math.random });
  const { exchangeNow } = sync;
  const page: Page = {
    ...{ live, compute, exchangeNow, sheets: new Sheets(), figures: new FigureList() },
    clock: new ClockWatch(() => Date.now(), steady),
    alarm: new Alarm((pattern) => navigator.vibrate?.(pattern)),
  };
  await startLanguage();
  startFaults();
  startRouter();
  startTheme();
  let Shown = App;
  // Another language is another tree: every word is read again, and what was entered is in the stores. The page is not
  // loaded again, so a sound that was allowed stays allowed.
  const draw = () =>
    render(
      <PageProvider value={page}>
        <Shown key={language.value} />
      </PageProvider>,
      root,
    );
  language.subscribe(draw);
  // While the app is worked on, Vite brings changed modules into the open page; the built app has nothing of this.
  import.meta.hot?.accept("./shell/app", (changed) => {
    Shown = changed?.App ?? Shown;
    draw();
  });
  startUpdates();
  await known;
  startQuota();
  // No screen waits for figures. What fails here, or with the storage, is tried again at the next start.
  import("./store/figures").then(({ startFigures }) => startFigures(now, compute)).catch(() => undefined);
  renewOnce(now(), compute).catch(() => undefined);
  sync.start();
  void preparePlaces(page);
}

void start();
