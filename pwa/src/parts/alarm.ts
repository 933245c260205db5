/** Sound, vibration and notification when a time is up, each where the device allows it. */

const TONE_HZ = 880;
const TONES = 4;
const LONGEST_TIMER_MS = 2 ** 31 - 1;

export interface Message {
  title: string;
  body: string;
}

/** One per page. It outlives the screen that set it, so that it sounds in whatever place the person is. */
export class Alarm {
  #timer: ReturnType<typeof setTimeout> | undefined;
  #until: number | null = null;
  #audio: AudioContext | null = null;

  /** Browsers let a page sound only after a tap: call this in the handler of one. */
  unlock(): void {
    if (typeof AudioContext === "undefined") return;
    this.#audio ??= new AudioContext();
    void this.#audio.resume().catch(() => {});
  }

  /** Sounds at `until` (ms since 1970); null takes it back. Setting the same moment again changes nothing. */
  set(until: number | null, message: Message, now: number = Date.now()): void {
    if (until === this.#until) return;
    clearTimeout(this.#timer);
    this.#until = until;
    if (until === null || until <= now) return;
    this.#timer = setTimeout(() => this.#sound(message), Math.min(until - now, LONGEST_TIMER_MS));
  }

  #sound(message: Message): void {
    navigator.vibrate?.([400, 200, 400, 200, 800]);
    if (this.#audio) beep(this.#audio);
    if (document.visibilityState === "hidden") void notify(message);
  }
}

function beep(audio: AudioContext): void {
  for (let index = 0; index < TONES; index += 1) {
    const start = audio.currentTime + index * 0.5;
    const tone = audio.createOscillator();
    const volume = audio.createGain();
    tone.frequency.value = TONE_HZ;
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

async function notify({ title, body }: Message): Promise<void> {
  if (!("Notification" in globalThis) || Notification.permission !== "granted") return;
  const registration = await navigator.serviceWorker?.getRegistration();
  // Android shows notifications only through the worker.
  await registration?.showNotification(title, { body, tag: "settled" });
}
