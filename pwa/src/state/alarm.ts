/** Sound, vibration and notification when a timer ends, each if the device allows it. */

/** Two tubes that settle at the same time sound different. */
const TONES_HZ = [880, 660] as const;
const TONES = 4;
const LONGEST_TIMER_MS = 2 ** 31 - 1;

export interface Message {
  title: string;
  body: string;
}

/** One running timer. */
export interface Waiting {
  /** Which one, from 0: it has its own pitch and replaces only its own notification. */
  index: number;
  /** ms since 1970 */
  until: number;
  message: Message;
}

/** One per page. It outlives the screen that set it, so it sounds in any place of the app. */
export class Alarm {
  readonly #vibrate: (pattern: number[]) => void;
  readonly #timers = new Map<number, { until: number; timer: ReturnType<typeof setTimeout> }>();
  #audio: AudioContext | null = null;

  constructor(vibrate: (pattern: number[]) => void) {
    this.#vibrate = vibrate;
  }

  /** Browsers let a page play sound only after a tap: call this in a tap handler. */
  unlock(): void {
    if (typeof AudioContext === "undefined") return;
    this.#audio ??= new AudioContext();
    void this.#audio.resume().catch(() => {});
  }

  /** Sets exactly these timers and cancels all others; a timer already over stays silent. */
  set(waiting: readonly Waiting[], now: number = Date.now()): void {
    for (const [index, { until, timer }] of this.#timers) {
      if (waiting.some((one) => one.index === index && one.until === until)) continue;
      clearTimeout(timer);
      this.#timers.delete(index);
    }
    for (const one of waiting) {
      if (this.#timers.has(one.index) || one.until <= now) continue;
      const timer = setTimeout(() => this.#sound(one), Math.min(one.until - now, LONGEST_TIMER_MS));
      this.#timers.set(one.index, { until: one.until, timer });
    }
  }

  #sound({ index, message }: Waiting): void {
    this.#vibrate([400, 200, 400, 200, 800]);
    if (this.#audio) beep(this.#audio, TONES_HZ[index % TONES_HZ.length] ?? TONES_HZ[0]);
    if (document.visibilityState === "hidden") void notify(message, `settled ${index}`);
  }
}

function beep(audio: AudioContext, hertz: number): void {
  for (let index = 0; index < TONES; index += 1) {
    const start = audio.currentTime + index * 0.5;
    const tone = audio.createOscillator();
    const volume = audio.createGain();
    tone.frequency.value = hertz;
    volume.gain.setValueAtTime(0.0001, start);
    volume.gain.exponentialRampToValueAtTime(0.4, start + 0.02);
    volume.gain.exponentialRampToValueAtTime(0.0001, start + 0.35);
    tone.connect(volume).connect(audio.destination);
    tone.start(start);
    tone.stop(start + 0.4);
  }
}

export function canAskToNotify(): boolean {
  return "Notification" in globalThis && Notification.permission === "default";
}

export async function askToNotify(): Promise<void> {
  await Notification.requestPermission();
}

async function notify({ title, body }: Message, tag: string): Promise<void> {
  if (!("Notification" in globalThis) || Notification.permission !== "granted") return;
  const registration = await navigator.serviceWorker?.getRegistration();
  // Android shows notifications only through the service worker.
  await registration?.showNotification(title, { body, tag });
}
