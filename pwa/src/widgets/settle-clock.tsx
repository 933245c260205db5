/**
 * The settling timer. It counts to a moment on the wall clock, so it is right after the phone slept, the tab was killed
 * or the page was left. The caller stores the moment.
 */

import { useEffect, useRef, useState } from "preact/hooks";
import { labels } from "../i18n";
import { clock, number, timeOfDay } from "../i18n/format";
import { usePage } from "../state/page";

const MINUTE_MS = 60_000;

export interface SettleClockProps {
  minutes: number;
  /** When the time is up, ms since 1970; null before it was started. */
  until: number | null;
  onStart: (until: number) => void;
  onSkip: (now: number) => void;
  /** Called once, when the time runs out while this timer is on the page (asleep or not). */
  onDone?: () => void;
  /** ms since 1970. */
  now?: () => number;
}

export function SettleClock({ minutes, until, onStart, onSkip, onDone, now = Date.now }: SettleClockProps) {
  const time = useWallClock(until, now);
  const left = until === null ? null : remaining(until, minutes, time);
  const running = left !== null && left > 0;
  const wasRunning = useRef(false);
  useEffect(() => {
    if (wasRunning.current && left === 0) onDone?.();
    wasRunning.current = running;
  });

  const start = () => onStart(now() + minutes * MINUTE_MS);
  if (until === null || left === null) {
    return (
      <div class="clock">
        <button type="button" class="main" onClick={start}>
          {labels.parts.clockStart(number(minutes, 0))}
        </button>
        <button type="button" class="plain" onClick={() => onSkip(now())}>
          {labels.parts.clockSkip}
        </button>
      </div>
    );
  }
  if (!running) {
    return (
      <div class="clock">
        <p class="clock-done" role="status">
          {doneSentence(time - until)}
        </p>
        <button type="button" class="plain" onClick={start}>
          {labels.parts.clockAgain}
        </button>
      </div>
    );
  }
  return (
    <div class="clock">
      <p class="clock-time">
        <span role="timer" aria-label={labels.parts.clock} class="clock-figures">
          {clock(left)}
        </span>
        <span class="quiet">{labels.parts.clockEnds(timeOfDay(until))}</span>
      </p>
      <ClockScale minutes={minutes} left={left} />
      <p class="unseen" role="status">
        {labels.parts.clockSpoken(Math.ceil(left / MINUTE_MS))}
      </p>
      <p class="hint">{labels.parts.clockAwake}</p>
      <button type="button" class="plain" onClick={() => onSkip(now())}>
        {labels.parts.clockSkip}
      </button>
    </div>
  );
}

/** ms left, never more than the full time: a phone whose clock was set back must not count for hours. */
export function remaining(until: number, minutes: number, now: number): number {
  return Math.min(minutes * MINUTE_MS, Math.max(0, until - now));
}

function doneSentence(since: number): string {
  const minutes = Math.floor(since / MINUTE_MS);
  return minutes < 1 ? labels.parts.clockDone : labels.parts.clockDoneSince(number(minutes, 0));
}

/** One graduation per minute; the layer grows as the time passes. */
function ClockScale({ minutes, left }: { minutes: number; left: number }) {
  const passed = 1 - left / (minutes * MINUTE_MS);
  return (
    <div class="clock-scale" style={{ "--minutes": minutes }} aria-hidden="true">
      <span style={{ inlineSize: `${100 * passed}%` }} />
    </div>
  );
}

/** The time, four times a second while it matters, and at once when the phone wakes up. */
function useWallClock(until: number | null, now: () => number): number {
  const { clock } = usePage();
  const [time, setTime] = useState(now);
  useEffect(() => {
    const look = () => {
      clock.look();
      setTime(now());
    };
    look();
    if (until === null) return;
    const timer = setInterval(look, until > now() ? 250 : 20_000);
    const ending = setTimeout(look, Math.max(0, until - now()) + 5);
    document.addEventListener("visibilitychange", look);
    addEventListener("pageshow", look);
    return () => {
      clearInterval(timer);
      clearTimeout(ending);
      document.removeEventListener("visibilitychange", look);
      removeEventListener("pageshow", look);
    };
  }, [until, now]);
  return time;
}
