/** Reads a QR code with the camera, in browsers that can; in others it shows nothing. */

import { useEffect, useRef, useState } from "preact/hooks";
import { labels } from "../i18n";

/** ms between two scans. */
const PAUSE = 250;

interface Detector {
  detect(picture: HTMLVideoElement): Promise<{ rawValue: string }[]>;
}

/** https://wicg.github.io/shape-detection-api, not in every browser. */
type DetectorClass = { new (options: { formats: string[] }): Detector; getSupportedFormats(): Promise<string[]> };

/** Whether this browser can read QR codes. */
export async function canScan(scope: object = globalThis): Promise<boolean> {
  const found = (scope as { BarcodeDetector?: DetectorClass }).BarcodeDetector;
  if (found === undefined || navigator.mediaDevices?.getUserMedia === undefined) return false;
  return (await found.getSupportedFormats().catch((): string[] => [])).includes("qr_code");
}

export interface CodeScannerProps {
  /** Returns whether this is the text we want; the camera then stops. */
  onText: (text: string) => boolean;
}

export function CodeScanner({ onText }: CodeScannerProps) {
  const words = labels.parts.scanner;
  const [able, setAble] = useState(false);
  const [looking, setLooking] = useState(false);
  const [fault, setFault] = useState("");
  useEffect(() => {
    void canScan().then(setAble);
  }, []);
  if (!able) return null;
  const stop = (why = "") => {
    setLooking(false);
    setFault(why);
  };
  return (
    <div class="field">
      {looking ? (
        <Camera onText={(text) => onText(text) && stop()} onFault={() => stop(words.fault)} />
      ) : (
        <button
          type="button"
          onClick={() => {
            setFault("");
            setLooking(true);
          }}
        >
          {words.start}
        </button>
      )}
      {looking && (
        <button type="button" class="plain" onClick={() => stop()}>
          {words.stop}
        </button>
      )}
      {fault && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
    </div>
  );
}

interface CameraProps {
  onText: (text: string) => void;
  onFault: () => void;
}

function Camera({ onText, onFault }: CameraProps) {
  const video = useRef<HTMLVideoElement>(null);
  const latest = useRef(onText);
  latest.current = onText;
  useEffect(() => {
    let stream: MediaStream | null = null;
    let over = false;
    const run = async () => {
      stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
      const screen = video.current;
      if (over || screen === null) return;
      screen.srcObject = stream;
      await screen.play();
      const { BarcodeDetector } = globalThis as unknown as { BarcodeDetector: DetectorClass };
      const detector = new BarcodeDetector({ formats: ["qr_code"] });
      while (!over) {
        for (const { rawValue } of await detector.detect(screen)) latest.current(rawValue);
        await new Promise((resolve) => setTimeout(resolve, PAUSE));
      }
    };
    run()
      .catch(() => !over && onFault())
      .finally(() => {
        if (over) stopAll(stream);
      });
    return () => {
      over = true;
      stopAll(stream);
    };
  }, []);
  return <video ref={video} class="camera" muted playsInline aria-label={labels.parts.scanner.picture} />;
}

function stopAll(stream: MediaStream | null): void {
  for (const track of stream?.getTracks() ?? []) track.stop();
}
