/** A component whose code is loaded when it is first shown; the service worker has cached it, so this works offline. */

import type { ComponentType, FunctionComponent } from "preact";
import { useLayoutEffect, useState } from "preact/hooks";
import { labels, speakInFull } from "../i18n";
import { loadAllLabelsInAny } from "../state/language";
import { Waiting } from "./waiting";

export interface ScreenProps {
  path: string[];
}

export type Screen = ComponentType<ScreenProps>;

/** ms after which a waiting person is told that something is wrong. */
const PATIENCE = 4000;
/** ms after the start: the first screen comes first. */
const FIRST = 1000;

export interface Lazy<Props extends object> extends FunctionComponent<Props> {
  /** Loads the code in advance; an error does not matter here, and is reported when it is shown. */
  prepare: () => Promise<void>;
}

/**
 * A component that loads the default export of a module once and, unless `says` is "first", the labels beyond the first
 * screen. If loading fails, a retry is offered.
 */
export function lazy<Props extends object = ScreenProps>(
  load: () => Promise<{ default: ComponentType<Props> }>,
  says: "all" | "first" = "all",
): Lazy<Props> {
  let loaded: ComponentType<Props> | null = null;
  let loading: Promise<void> | null = null;
  const begin = (speaking = speakInFull): Promise<void> => {
    const mine = Promise.all([load(), says === "all" && speaking()]).then(
      ([module]) => {
        loaded = module.default;
      },
      (fault) => {
        if (loading === mine) loading = null;
        throw fault;
      },
    );
    loading = mine;
    return mine;
  };

  function Part(props: Props) {
    const Found = loaded;
    const [attempt, setAttempt] = useState(0);
    const [absent, setAbsent] = useState(false);
    const [, redraw] = useState(0);
    useLayoutEffect(() => {
      if (Found !== null) return;
      let here = true;
      const giveUp = () => here && setAbsent(true);
      const timer = setTimeout(giveUp, PATIENCE);
      const asked = attempt === 0 ? (loading ?? begin()) : begin(loadAllLabelsInAny);
      // If it has loaded since the last render, it is drawn now.
      asked.then(() => redraw((round) => round + 1), giveUp);
      return () => {
        here = false;
        clearTimeout(timer);
      };
    }, [Found === null, attempt]);
    if (Found !== null) return <Found {...props} />;
    if (!absent) return <Waiting word={labels.common.opening} />;
    const again = () => {
      setAbsent(false);
      setAttempt(attempt + 1);
    };
    return <Absent onAgain={again} />;
  }
  Part.prepare = () => (loading ?? begin()).catch(() => undefined);
  return Part;
}

function Absent({ onAgain }: { onAgain: () => void }) {
  const { absent, faultAgain } = labels.common;
  return (
    <div class="form" role="alert">
      <p>{absent}</p>
      <button type="button" onClick={onAgain}>
        {faultAgain}
      </button>
    </div>
  );
}

/** Preloads components one after the other, after the first screen, whenever the page is idle. */
export async function prepareWhenIdle(parts: readonly Pick<Lazy<object>, "prepare">[]): Promise<void> {
  await new Promise((resolve) => setTimeout(resolve, FIRST));
  for (const part of parts) {
    await idle();
    await part.prepare();
  }
}

/** Safari has no idle callback. */
function idle(): Promise<void> {
  return new Promise((resolve) => {
    if (typeof requestIdleCallback === "function") requestIdleCallback(() => resolve(), { timeout: 5000 });
    else setTimeout(resolve, 500);
  });
}
