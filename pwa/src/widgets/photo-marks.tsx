/**
 * A photo of the tube with four crosses on it: bottom mark, water mark, fuel mark and parting line. They are dragged by
 * finger with a loupe above, or moved by buttons and arrow keys. The person always confirms.
 */

import { useState } from "preact/hooks";
import type { Marks, Place } from "../chemistry/axis";
import { labels } from "../i18n";
import { ChoiceRow } from "./choice-row";
import type { MarkName } from "./photo-handle";
import { PhotoHandle } from "./photo-handle";
import type { Picture } from "./photo-loupe";
import { PhotoLoupe } from "./photo-loupe";

export interface PhotoMarksProps {
  picture: Picture;
  /** In pixels of the picture. */
  marks: Marks;
  onMarks: (marks: Marks) => void;
  /** Half-width of the line along the axis, pixels of the picture: drawn as a band across the tube. */
  band?: number | null;
}

const NAMES: readonly MarkName[] = ["bottom", "water", "fuel", "line"];
/** A tap moves a mark by this many pixels of the picture, with Shift by ten times as many. */
const STEP = 1;

/** The initial positions of the crosses: on an upright tube in the middle of the picture. */
export function marksAtFirst({ width, height }: { width: number; height: number }): Marks {
  const at = (share: number): Place => ({ x: width / 2, y: height * share });
  return { bottom: at(0.9), water: at(0.6), fuel: at(0.15), line: at(0.35) };
}

export function PhotoMarks({ picture, marks, onMarks, band = null }: PhotoMarksProps) {
  const words = labels.photo;
  const [chosen, setChosen] = useState<MarkName>("bottom");
  const [dragged, setDragged] = useState(false);
  const put = (name: MarkName, place: Place) => onMarks({ ...marks, [name]: inside(place, picture) });
  const move = (name: MarkName, x: number, y: number) =>
    put(name, { x: marks[name].x + x * STEP, y: marks[name].y + y * STEP });
  return (
    <div class="photo-marks">
      <p class="hint">{words.hint}</p>
      <div class="photo-board">
        <img src={picture.address} alt={picture.alt} width={picture.width} height={picture.height} draggable={false} />
        <Axis picture={picture} marks={marks} band={band} />
        {NAMES.map((name) => (
          <PhotoHandle
            key={name}
            name={name}
            place={marks[name]}
            picture={picture}
            chosen={name === chosen}
            onChosen={() => setChosen(name)}
            onPlace={(place) => put(name, place)}
            onMove={(x, y) => move(name, x, y)}
            onDragged={setDragged}
          />
        ))}
        {dragged && <PhotoLoupe picture={picture} place={marks[chosen]} />}
      </div>
      <ChoiceRow
        legend={words.choose}
        value={chosen}
        onValue={setChosen}
        options={NAMES.map((value) => ({ value, label: words.marks[value] }))}
      />
      <Nudges name={chosen} onMove={(x, y) => move(chosen, x, y)} />
    </div>
  );
}

/** How far the band extends to either side of the axis, as a share of the way from the bottom to the fuel mark. */
const REACH = 0.12;

function Axis({ picture, marks, band }: { picture: Picture; marks: Marks; band: number | null }) {
  const [x, y] = [marks.fuel.x - marks.bottom.x, marks.fuel.y - marks.bottom.y];
  const half = (band ?? 0) / (Math.hypot(x, y) || 1);
  const corner = (along: number, across: number) =>
    `${marks.line.x + along * x - across * y} ${marks.line.y + along * y + across * x}`;
  return (
    <svg class="photo-axis" viewBox={`0 0 ${picture.width} ${picture.height}`} aria-hidden="true" focusable="false">
      <line x1={marks.bottom.x} y1={marks.bottom.y} x2={marks.fuel.x} y2={marks.fuel.y} />
      {band !== null && (
        <path
          class="photo-band"
          d={`M${corner(-half, -REACH)}L${corner(-half, REACH)}L${corner(half, REACH)}L${corner(half, -REACH)}Z`}
        />
      )}
    </svg>
  );
}

const WAYS = [
  { way: "up", sign: "↑", x: 0, y: -1 },
  { way: "down", sign: "↓", x: 0, y: 1 },
  { way: "left", sign: "←", x: -1, y: 0 },
  { way: "right", sign: "→", x: 1, y: 0 },
] as const;

function Nudges({ name, onMove }: { name: MarkName; onMove: (x: number, y: number) => void }) {
  const words = labels.photo;
  return (
    <div class="photo-nudges">
      {WAYS.map(({ way, sign, x, y }) => (
        <button
          key={way}
          type="button"
          aria-label={words.nudge(words.marks[name], words[way])}
          onClick={() => onMove(x, y)}
        >
          {sign}
        </button>
      ))}
    </div>
  );
}

function inside(place: Place, { width, height }: Picture): Place {
  const within = (value: number, most: number) => Math.min(Math.max(value, 0), most - 1);
  return { x: within(place.x, width), y: within(place.y, height) };
}
