/** Starts the app: first the screen, then everything that may take its time. */

import { render } from "preact";
import "./styles/index.css";
import "./shell/standing.css";
import { language } from "./i18n";
import { App, preparePlaces } from "./shell/app";
import { startFaults } from "./shell/faults";
import { startQuota } from "./shell/quota";
import { startTheme } from "./shell/theme";
import { repair, startUpdates } from "./shell/update";
import { startLanguage } from "./state/language";
import { startRouter } from "./state/router";
import { startLive } from "./state/signals";
import { renewOnce } from "./store/renewal";
import { startSync } from "./sync/when";

const root = document.getElementById("app");

async function start(): Promise<void> {
  if (new URLSearchParams(location.search).has("fresh") && (await repair("/"))) return;
  if (root === null) throw new Error("index.html has no #app");
  // Storage opens while the labels are loaded and the first screen is drawn.
  const live = startLive();
  await startLanguage();
  startFaults();
  startRouter();
  startTheme();
  let Shown = App;
  // Another language is another tree: every word is read again, and what was entered is in the stores. The page is not
  // loaded again, so a sound that was allowed stays allowed.
  const draw = () => render(<Shown key={language.value} />, root);
  language.subscribe(draw);
  // While the app is worked on, Vite brings changed modules into the open page; the built app has nothing of this.
  import.meta.hot?.accept("./shell/app", (changed) => {
    Shown = changed?.App ?? Shown;
    draw();
  });
  startUpdates();
  await live;
  startQuota();
  // No screen waits for figures. What fails here, or with the storage, is tried again at the next start.
  import("./store/figures").then(({ startFigures }) => startFigures(() => new Date())).catch(() => undefined);
  renewOnce(new Date()).catch(() => undefined);
  startSync();
  void preparePlaces();
}

void start();
