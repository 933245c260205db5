/** How level the phone is held, from its sensors; nothing is shown without them. */

import { useEffect, useState } from "preact/hooks";
import { labels } from "../i18n";
import { number } from "../i18n/format";

/** Degrees. tilt: the camera looks up (positive) or down; turned: the phone is turned clockwise in its own plane. */
export interface Held {
  tilt: number;
  turned: number;
}

/** Degrees within which a phone counts as level. An estimate, no source. */
const LEVEL = 2;
const DEGREE = Math.PI / 180;

/**
 * From the browser's angles (https://www.w3.org/TR/orientation-event/), degrees: rotation by alpha around the vertical,
 * then beta around the phone's width, then gamma around its length. screen: the rotation of the screen.
 */
export function heldAt(beta: number, gamma: number, screen: number): Held {
  const [b, g] = [beta * DEGREE, gamma * DEGREE];
  // The up direction, along the phone's width, its length, and out of its screen; the camera looks the other way.
  const [x, y, z] = [-Math.cos(b) * Math.sin(g), Math.sin(b), Math.cos(b) * Math.cos(g)];
  const turned = -Math.atan2(x, y) / DEGREE + screen;
  return { tilt: -Math.asin(z) / DEGREE, turned: ((((turned + 180) % 360) + 360) % 360) - 180 };
}

/** Some browsers provide the angles only after permission was requested, in a tap. */
interface Sensor {
  requestPermission?: () => Promise<PermissionState>;
}

function sensor(): Sensor | undefined {
  return (globalThis as { DeviceOrientationEvent?: Sensor }).DeviceOrientationEvent;
}

/** ms without angles after which a phone's browser is asked for them; a desktop computer has none. */
const SILENCE = 1000;

function canAsk(): boolean {
  return sensor()?.requestPermission !== undefined && matchMedia("(pointer: coarse)").matches;
}

export function LevelSign() {
  const words = labels.level;
  const [held, setHeld] = useState<Held | null>(null);
  const [silent, setSilent] = useState(false);
  useEffect(() => {
    const timer = setTimeout(() => setSilent(true), SILENCE);
    const look = ({ beta, gamma }: DeviceOrientationEvent) => {
      if (beta === null || gamma === null) return;
      clearTimeout(timer);
      setSilent(false);
      setHeld(heldAt(beta, gamma, screen.orientation?.angle ?? 0));
    };
    addEventListener("deviceorientation", look);
    return () => {
      clearTimeout(timer);
      removeEventListener("deviceorientation", look);
    };
  }, []);
  if (silent && canAsk()) {
    // Whatever the answer: angles arrive as events, and nobody is asked twice.
    const ask = () => {
      setSilent(false);
      sensor()
        ?.requestPermission?.()
        .catch(() => undefined);
    };
    return (
      <button type="button" class="plain" onClick={ask}>
        {words.ask}
      </button>
    );
  }
  if (held === null) return null;
  const { tilt, turned } = held;
  const isLevel = Math.abs(tilt) < LEVEL && Math.abs(turned) < LEVEL;
  return (
    <p class={isLevel ? "level-sign level-held" : "level-sign"}>
      <svg viewBox="-40 -40 80 80" aria-hidden="true" focusable="false">
        <circle r="38" />
        <path class="level-frame" d="M-38 0H-14M14 0H38" />
        <path d="M-26 0H26M0 0V-10" transform={`translate(0 ${within(tilt)}) rotate(${-turned})`} />
      </svg>
      <span>
        {isLevel ? words.level : words.held(number(Math.abs(tilt), 0), tilt > 0, number(Math.abs(turned), 0))}
      </span>
    </p>
  );
}

/** The sign is 76 wide: a tilt of 15 degrees reaches its edge. */
function within(tilt: number): number {
  return Math.min(Math.max(2 * tilt, -30), 30);
}
