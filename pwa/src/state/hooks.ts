/** Hooks that keep a component in sync with the stores. */

import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import { onChange } from "../store/changes";
import { StorageReplaced } from "../store/open";
import type { Place } from "../store/schema";
import { usePage } from "./page";

/**
 * The result of `load`, updated whenever one of `places` changes; undefined until the first one. A failing load reaches
 * the error boundary, unless a newer version has taken over the storage: then the screen stays as it is until the page
 * is reloaded. `inputs` as in useEffect.
 */
export function useStored<T>(load: () => Promise<T>, places: Place[], inputs: unknown[] = []): T | undefined {
  const [value, setValue] = useState<T>();
  const [fault, setFault] = useState<unknown>(null);
  const round = useRef(0);
  // Starts before the first paint, so that data arrives a frame earlier.
  useLayoutEffect(() => {
    const read = () => {
      round.current += 1;
      const mine = round.current;
      load().then(
        (found) => {
          if (mine === round.current) setValue(() => found);
        },
        (reason) => {
          if (reason instanceof StorageReplaced) return;
          if (mine === round.current) setFault(reason ?? new Error("read failed"));
        },
      );
    };
    read();
    const stop = onChange((changed) => {
      if (changed.some((place) => places.includes(place))) read();
    });
    return () => {
      round.current += 1;
      stop();
    };
  }, inputs);
  if (fault !== null) throw fault;
  return value;
}

/** Calls `onSet` with the ms by which the phone's clock is set while `running`, forward above 0. */
export function useClockSet(running: boolean, onSet: (by: number) => void): void {
  const { clock } = usePage();
  const act = useRef(onSet);
  act.current = onSet;
  // Runs at once: otherwise, between two screens nobody would watch for a moment, and a clock that was set would go
  // unnoticed.
  useLayoutEffect(() => (running ? clock.watch((by) => act.current(by)) : undefined), [running]);
}

/** ms since 1970: every second while `running`, and at once when the phone wakes up or the page comes back. */
export function useClock(running: boolean): number {
  const watch = usePage().clock;
  const [, setTick] = useState(0);
  useEffect(() => {
    if (!running) return;
    const look = () => {
      watch.look();
      setTick((tick) => tick + 1);
    };
    const timer = setInterval(look, 1000);
    document.addEventListener("visibilitychange", look);
    addEventListener("pageshow", look);
    return () => {
      clearInterval(timer);
      document.removeEventListener("visibilitychange", look);
      removeEventListener("pageshow", look);
    };
  }, [running]);
  return Date.now();
}

/** The current time, updated every `every` ms, for clocks and ages. */
export function useNow(every = 1000): Date {
  const [now, setNow] = useState(() => new Date());
  useEffect(() => {
    const timer = setInterval(() => setNow(new Date()), every);
    return () => clearInterval(timer);
  }, [every]);
  return now;
}
