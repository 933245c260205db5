/** The frame around the four places. */

import { useEffect, useRef } from "preact/hooks";
import { labels } from "../i18n";
import { TestScreen } from "../screens/test";
import type { Page } from "../state/page";
import { to } from "../state/router";
import { path } from "../state/signals";
import { lazy, prepareWhenIdle, type Screen } from "../widgets/lazy";
import { UndoBar } from "../widgets/undo";
import { Bar, placeOf } from "./bar";
import { Boundary } from "./boundary";
import { Notices } from "./notices";
import { Repair } from "./repair";
import { Settling } from "./settling";
import { SyncStatus } from "./sync-status";

const Sources = lazy(() => import("../screens/sources"));
const Fuel = lazy(() => import("../screens/fuel"));
const Log = lazy(() => import("../screens/log"));
const Method = lazy(() => import("../screens/shared/method"), "first");
const Tubes = lazy(() => import("../screens/tubes"));

/** Preloads the screens in the bar, so that they open at once, even if their files can no longer be loaded. */
export function preparePlaces({ figures }: Page): Promise<void> {
  const list = { prepare: () => figures.read().then(noop, noop) };
  return prepareWhenIdle([Sources, list, Log, Fuel]);
}

function noop() {}

/** The first part of the address, and the screen for it. */
const SCREENS: Record<string, Screen> = {
  test: TestScreen,
  sources: Sources,
  source: Sources,
  region: Sources,
  fuel: Fuel,
  log: Log,
  tubes: Tubes,
  settings: Log,
  method: Method,
  repair: Repair,
};

export function App() {
  const parts = path.value;
  const address = parts.join("/");
  useArrival(address);
  const Shown = SCREENS[parts[0] ?? ""] ?? Lost;
  return (
    <div class="shell">
      <button type="button" class="skip" onClick={skip}>
        {labels.common.skip}
      </button>
      <Notices />
      <Boundary quiet>
        <Settling place={parts[0] ?? "test"} />
      </Boundary>
      <main class="place" id="content" tabIndex={-1}>
        <Boundary key={Shown} at={address}>
          <Shown path={parts} />
        </Boundary>
      </main>
      <UndoBar />
      <SyncStatus />
      <Bar place={parts[0] ?? "test"} />
    </div>
  );
}

/**
 * A new address sets the title, and moves the focus to the new content, for those who do not see it change: to the
 * page, if it is shown beside its list.
 */
function useArrival(address: string) {
  const isFirst = useRef(true);
  useEffect(() => {
    const { name, places } = labels.common;
    const place = placeOf(address.split("/")[0] ?? "");
    document.title = place === null ? name : `${places[place]} · ${name}`;
    const shown = document.querySelector<HTMLElement>(".pane-page") ?? document.getElementById("content");
    if (!isFirst.current) shown?.focus({ preventScroll: true });
    isFirst.current = false;
  }, [address]);
}

/** A button, because the hash belongs to the router. */
function skip() {
  document.getElementById("content")?.focus();
}

function Lost() {
  const { lost, places } = labels.common;
  return (
    <div class="form">
      <h1>{lost}</h1>
      <a class="button" href={to("test")}>
        {places.test}
      </a>
    </div>
  );
}
