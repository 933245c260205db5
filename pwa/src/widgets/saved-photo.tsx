/** A photo saved on this phone, with the marks from which its line was read, if there are any. */

import { useEffect, useState } from "preact/hooks";
import { labels } from "../i18n";
import type { Size } from "../model/sight";
import type { PhotoMarks, Place } from "../records";
import { readPhoto } from "../store/photos";

export interface SavedPhotoProps {
  digest: string;
  alt: string;
  marks?: PhotoMarks | null | undefined;
}

export function SavedPhoto({ digest, alt, marks }: SavedPhotoProps) {
  const photo = usePhoto(digest);
  const [size, setSize] = useState<Size | null>(null);
  if (photo === "missing") return <p class="hint">{labels.parts.photoMissing}</p>;
  if (photo === null) return <span class="photo-wait" />;
  if (!marks) return <img src={photo.address} alt={alt} />;
  return (
    <span class="marked-photo">
      <img
        src={photo.address}
        alt={`${alt}. ${labels.parts.photoMarked}`}
        onLoad={({ currentTarget }) =>
          setSize({ width: currentTarget.naturalWidth, height: currentTarget.naturalHeight })
        }
      />
      {size && <Drawn marks={marks} size={size} />}
    </span>
  );
}

export interface ShownPhoto {
  blob: Blob;
  /** For an img; revoked when the component unmounts. */
  address: string;
}

/** null: not loaded yet. */
export function usePhoto(digest: string): ShownPhoto | "missing" | null {
  const [photo, setPhoto] = useState<ShownPhoto | "missing" | null>(null);
  useEffect(() => {
    let made: string | null = null;
    let over = false;
    setPhoto(null);
    readPhoto(digest).then(
      (blob) => {
        if (over) return;
        if (!blob) {
          setPhoto("missing");
          return;
        }
        made = URL.createObjectURL(blob);
        setPhoto({ blob, address: made });
      },
      () => !over && setPhoto("missing"),
    );
    return () => {
      over = true;
      if (made) URL.revokeObjectURL(made);
    };
  }, [digest]);
  return photo;
}

/** The size of a photo in its own pixels; null: not known yet. */
export function useSize(photo: ReturnType<typeof usePhoto>): Size | "unreadable" | null {
  const [size, setSize] = useState<Size | "unreadable" | null>(null);
  const address = photo === null || photo === "missing" ? null : photo.address;
  useEffect(() => {
    setSize(null);
    if (address === null) return;
    let over = false;
    const image = new Image();
    image.src = address;
    image.decode().then(
      () => !over && setSize({ width: image.naturalWidth, height: image.naturalHeight }),
      () => !over && setSize("unreadable"),
    );
    return () => {
      over = true;
    };
  }, [address]);
  return size;
}

/** How far a mark extends to either side, as a share of the picture's width. */
const REACH = 0.09;

/** The axis from the bottom to the fuel mark, with a stroke across it at each mark; the line's is thick. */
function Drawn({ marks, size }: { marks: PhotoMarks; size: Size }) {
  const { bottom, fuel } = marks;
  return (
    <svg
      viewBox={`0 0 ${size.width} ${size.height}`}
      preserveAspectRatio="xMidYMid slice"
      aria-hidden="true"
      focusable="false"
    >
      <line class="mark-axis" x1={bottom.x} y1={bottom.y} x2={fuel.x} y2={fuel.y} />
      {(["bottom", "water", "fuel", "line"] as const).map((name) => (
        <Stroke key={name} at={marks[name]} along={marks} reach={REACH * size.width} strong={name === "line"} />
      ))}
    </svg>
  );
}

interface StrokeProps {
  at: Place;
  along: Pick<PhotoMarks, "bottom" | "fuel">;
  /** Pixels of the picture. */
  reach: number;
  strong: boolean;
}

function Stroke({ at, along, reach, strong }: StrokeProps) {
  const [x, y] = [along.fuel.x - along.bottom.x, along.fuel.y - along.bottom.y];
  const length = Math.hypot(x, y) || 1;
  const [across, up] = [(-y / length) * reach, (x / length) * reach];
  const ends = { x1: at.x - across, y1: at.y - up, x2: at.x + across, y2: at.y + up };
  return (
    <>
      <line class="mark-casing" {...ends} />
      <line class={strong ? "mark-stroke mark-strong" : "mark-stroke"} {...ends} />
    </>
  );
}
