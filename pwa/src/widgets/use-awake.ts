/** Keeps the screen on during a timer, if the browser allows it: a sleeping page cannot play sound. */

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
        // Refused, for instance with an empty battery: the timer runs anyway.
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
