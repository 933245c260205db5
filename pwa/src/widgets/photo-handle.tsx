/** One cross on a photo: dragged by finger, moved by arrow keys. */

import { useRef } from "preact/hooks";
import type { Marks, Place } from "../chemistry/axis";
import { labels } from "../i18n";
import { number } from "../i18n/format";

import type { Picture } from "./photo-loupe";

export type MarkName = keyof Marks;

export interface PhotoHandleProps {
  name: MarkName;
  place: Place;
  picture: Picture;
  chosen: boolean;
  onChosen: () => void;
  onPlace: (place: Place) => void;
  onMove: (x: number, y: number) => void;
  onDragged: (dragged: boolean) => void;
}

const KEYS: Record<string, readonly [x: number, y: number]> = {
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
};
const FAST = 10;

export function PhotoHandle({ name, place, picture, chosen, onChosen, onPlace, onMove, onDragged }: PhotoHandleProps) {
  const words = labels.photo;
  /** From the finger to the cross, in pixels of the picture, so that the cross does not jump under the finger. */
  const grip = useRef<Place | null>(null);
  const under = (event: PointerEvent & { currentTarget: HTMLElement }): Place => {
    const box = (event.currentTarget.parentElement as HTMLElement).getBoundingClientRect();
    return {
      x: ((event.clientX - box.left) / box.width) * picture.width,
      y: ((event.clientY - box.top) / box.height) * picture.height,
    };
  };
  const release = () => {
    grip.current = null;
    onDragged(false);
  };
  return (
    <button
      type="button"
      class={`photo-handle photo-handle-${name}`}
      aria-pressed={chosen}
      aria-label={words.at(words.marks[name], number(place.x, 0), number(place.y, 0))}
      // A picture has no reading direction: left is left.
      style={{ left: `${(100 * place.x) / picture.width}%`, top: `${(100 * place.y) / picture.height}%` }}
      onFocus={onChosen}
      onPointerDown={(event) => {
        event.currentTarget.setPointerCapture(event.pointerId);
        const finger = under(event);
        grip.current = { x: place.x - finger.x, y: place.y - finger.y };
        onChosen();
        onDragged(true);
      }}
      onPointerMove={(event) => {
        if (!grip.current) return;
        const finger = under(event);
        onPlace({ x: finger.x + grip.current.x, y: finger.y + grip.current.y });
      }}
      onPointerUp={release}
      onPointerCancel={release}
      onKeyDown={(event) => {
        const way = KEYS[event.key];
        if (!way) return;
        event.preventDefault();
        const pace = event.shiftKey ? FAST : 1;
        onMove(way[0] * pace, way[1] * pace);
      }}
    >
      <svg viewBox="-24 -24 48 48" aria-hidden="true" focusable="false">
        <path class="photo-cross-under" d="M-20 0H-4M4 0H20M0 -20V-4M0 4V20" />
        <path class="photo-cross" d="M-20 0H-4M4 0H20M0 -20V-4M0 4V20" />
        <circle class="photo-dot" r="1.5" />
      </svg>
      <span class="photo-name">{words.marks[name]}</span>
    </button>
  );
}
