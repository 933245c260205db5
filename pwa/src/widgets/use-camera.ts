/** The rear camera as a live picture: in use only while the component is mounted and the page is visible. */

import type { RefObject } from "preact";
import { useEffect, useLayoutEffect, useRef, useState } from "preact/hooks";
import type { Size } from "../model/sight";

/** Not yet in TypeScript's types: https://www.w3.org/TR/image-capture/ */
interface Able extends MediaTrackCapabilities {
  torch?: boolean;
  focusMode?: string[];
}

/** As sharp as a saved photo (picture.ts); a lesser camera gives its best. */
const WANTED: MediaTrackConstraints = { facingMode: "environment", width: { ideal: 1920 }, height: { ideal: 1440 } };

export interface Camera {
  video: RefObject<HTMLVideoElement | null>;
  /** The picture's own pixels; null while the camera opens. */
  size: Size | null;
  /** null: this camera has no light. */
  torch: { lit: boolean; turn: () => void } | null;
}

/** onRefused: there is no camera or permission is denied. onGone: the page was hidden, and the camera released. */
export function useCamera(onRefused: () => void, onGone: () => void): Camera {
  const video = useRef<HTMLVideoElement>(null);
  const [size, setSize] = useState<Size | null>(null);
  const [track, setTrack] = useState<MediaStreamTrack | null>(null);
  const [lit, setLit] = useState(false);
  // A layout effect: the camera is released at once on unmount, not after the next paint.
  useLayoutEffect(() => {
    let stream: MediaStream | null = null;
    let over = false;
    const letGo = () => {
      over = true;
      stopAll(stream);
    };
    const run = async () => {
      stream = await navigator.mediaDevices.getUserMedia({ video: WANTED });
      const screen = video.current;
      if (over || screen === null) return stopAll(stream);
      screen.srcObject = stream;
      await screen.play();
      if (over) return;
      const [first] = stream.getVideoTracks();
      if (first) void focus(first);
      setTrack(first ?? null);
      setSize(sizeOf(screen));
    };
    const hidden = () => {
      if (document.visibilityState !== "hidden") return;
      letGo();
      onGone();
    };
    run().catch(() => {
      if (over) return;
      letGo();
      onRefused();
    });
    document.addEventListener("visibilitychange", hidden);
    return () => {
      document.removeEventListener("visibilitychange", hidden);
      letGo();
    };
  }, []);
  // Turning the phone turns its picture.
  useEffect(() => {
    const screen = video.current;
    const turned = () => screen && screen.videoWidth > 0 && setSize(sizeOf(screen));
    screen?.addEventListener("resize", turned);
    return () => screen?.removeEventListener("resize", turned);
  }, []);
  const turn = async () => {
    await track?.applyConstraints({ advanced: [{ torch: !lit } as MediaTrackConstraintSet] });
    setLit(!lit);
  };
  const hasTorch = track !== null && able(track).torch === true;
  return { video, size, torch: hasTorch ? { lit, turn: () => void turn().catch(() => undefined) } : null };
}

/** A camera left at a fixed focus must focus on the tube. */
async function focus(track: MediaStreamTrack): Promise<void> {
  if (!able(track).focusMode?.includes("continuous")) return;
  const wanted = { advanced: [{ focusMode: "continuous" } as MediaTrackConstraintSet] };
  // If the camera cannot do it after all, the picture stays as it is.
  await track.applyConstraints(wanted).catch(() => undefined);
}

/** Firefox does not report a track's capabilities. */
function able(track: MediaStreamTrack): Able {
  return track.getCapabilities?.() ?? {};
}

function sizeOf({ videoWidth, videoHeight }: HTMLVideoElement): Size {
  return { width: videoWidth, height: videoHeight };
}

function stopAll(stream: MediaStream | null): void {
  for (const track of stream?.getTracks() ?? []) track.stop();
}
