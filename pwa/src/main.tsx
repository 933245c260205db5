/** Starts the app: first the screen, then everything that may take its time. */

import { render } from "preact";
import "./look/index.css";
import "./shell/standing.css";
import { startLive } from "./live";
import { startRouter } from "./router";
import { App } from "./shell/app";
import { startFaults } from "./shell/faults";
import { startLook } from "./shell/look";
import { startRoom } from "./shell/room";
import { startSync } from "./sync/when";
import { repair, startUpdates } from "./update";

const root = document.getElementById("app");

async function start(): Promise<void> {
  if (new URLSearchParams(location.search).has("fresh") && (await repair("/"))) return;
  if (root === null) throw new Error("index.html has no #app");
  // Storage opens while the first screen is drawn.
  const live = startLive();
  startFaults();
  startRouter();
  startLook();
  render(<App />, root);
  startUpdates();
  await live;
  startRoom();
  startSync();
}

void start();
