/** Keeps the screen on while something runs, where the browser allows it: a sleeping page cannot sound. */

import { useEffect } from "preact/hooks";

export function useAwake(wanted: boolean): void {
  useEffect(() => {
    if (!wanted || !("wakeLock" in navigator)) return;
    let lock: WakeLockSentinel | null = null;
    let over = false;
    const hold = () => {
      if (document.visibilityState !== "visible") return;
      navigator.wakeLock.request("screen").then(
        (granted) => {
          lock = granted;
          if (over) void granted.release();
        },
        // Refused, for instance with an empty battery: the time runs all the same.
        () => {},
      );
    };
    hold();
    document.addEventListener("visibilitychange", hold);
    return () => {
      over = true;
      document.removeEventListener("visibilitychange", hold);
      void lock?.release();
    };
  }, [wanted]);
}
