/** A region drawn by its outline, north up, with its neighbours, and its sources as small tubes. */

import { distanceUnit, list, number, pair, windOf } from "../../format";
import { labels } from "../../labels";
import { settings } from "../../live";
import { BORE, layers, tubeOutline, VIEW } from "../../parts/tube-shape";
import { bearing_deg, type Point } from "../../position";
import type { Ranked } from "../../ranking";
import type { Sketch } from "../../sketch";
import { apart, type Frame, frameOf, inside, pathOf, rulerOf, side, type Written } from "../../sketch-frame";

const KM_PER_MILE = 1.609344;
/** Of the tube glyph's own size. */
const MARK = 0.3;
/** How far from its border a neighbour's name stands, in the drawing's units. */
const BEYOND = 30;

export type Placed = Ranked & { latitude: number; longitude: number };

export interface SketchMapProps {
  sketch: Sketch;
  code: string;
  name: string;
  /** In the order of their numbers. */
  sources: readonly Placed[];
}

export function SketchMap({ sketch, code, name, sources }: SketchMapProps) {
  const outline = sketch.outline(code);
  if (outline === null) return <p>{labels.sources.sketch.none}</p>;
  const frame = frameOf(outline, sources);
  const around = neighboursOf(sketch, code, frame);
  const { width, height } = frame;
  return (
    <figure class="sketch">
      <svg
        viewBox={`0 0 ${width} ${height.toFixed(1)}`}
        role="img"
        aria-label={sketchName(name, around, sources, frame)}
      >
        {around.map((other) => (
          <path key={other.code} class="sketch-beside" d={pathOf(sketch.outline(other.code) ?? [], frame)} />
        ))}
        <path class="sketch-own" d={pathOf(outline, frame)} />
        {apart(around.map((other) => nameSpot(other, frame))).map((spot) => (
          <text key={spot.text} class="sketch-name" x={spot.x} y={spot.y} text-anchor="middle">
            {spot.text}
          </text>
        ))}
        {sources.map((source, at) => (
          <Mark key={source.source} of={source} number={at + 1} frame={frame} />
        ))}
        <Ruler frame={frame} />
      </svg>
    </figure>
  );
}

export interface Neighbour {
  code: string;
  name: string;
  /** Where the border with it has its middle. */
  border: Point;
  /** Degrees clockwise from north. */
  bearing_deg: number;
}

/** The neighbours clockwise from the north. */
export function neighboursOf(sketch: Sketch, code: string, { middle }: Pick<Frame, "middle">): Neighbour[] {
  return sketch
    .neighbours(code)
    .flatMap((other) => {
      const border = sketch.border(code, other);
      if (border === null) return [];
      return { code: other, name: sketch.names.get(other) ?? other, border, bearing_deg: bearing_deg(middle, border) };
    })
    .sort((a, b) => fromNorth(a) - fromNorth(b));
}

/** What lies a little west of north counts as north and comes first. */
function fromNorth({ bearing_deg }: Neighbour): number {
  return (bearing_deg + 22.5) % 360;
}

/** The sketch in words: what lies around, and where each source stands and what it holds. */
export function sketchName(
  name: string,
  around: readonly Neighbour[],
  sources: readonly Placed[],
  frame: Pick<Frame, "middle" | "width" | "km_per_unit">,
): string {
  const words = labels.sources.sketch;
  const beside = around.map((other) => words.beside(other.name, words.winds[windOf(other.bearing_deg)]));
  const marks = sources.map((source, at) => {
    const direction = side(source, frame);
    const where = direction === null ? words.inTheMiddle : words.inThe(words.winds[windOf(direction)]);
    const held = source.figures === null ? words.untested : words.holds(number(source.figures.typical, 0));
    return pair(String(at + 1), `${source.name}, ${where}, ${held}.`);
  });
  return [words.title(name), beside.length > 0 ? words.around(list(beside)) : "", ...marks].join(" ").trim();
}

interface MarkProps {
  of: Placed;
  number: number;
  frame: Frame;
}

/** A tube that stands on its place, filled to what the source typically holds. */
function Mark({ of, number: place, frame }: MarkProps) {
  const { x, y } = frame.at(of);
  const drawn = layers(of.figures?.typical ?? null, null);
  return (
    <g transform={`translate(${(x - (MARK * VIEW.width) / 2).toFixed(1)} ${(y - MARK * VIEW.height).toFixed(1)})`}>
      <g transform={`scale(${MARK})`}>
        <path class="sketch-glass" d={`${tubeOutline}Z`} />
        {drawn && (
          <rect
            class="tube-layer"
            x={BORE.left}
            width={BORE.width}
            y={drawn.solid}
            height={BORE.bottom - drawn.solid}
            rx="3"
          />
        )}
        <path class={drawn ? "tube-glass" : "tube-glass tube-unused"} d={tubeOutline} />
      </g>
      <text class="sketch-number" x={MARK * VIEW.width + 1} y={9}>
        {place}
      </text>
    </g>
  );
}

/** How long a stretch is, and where north is. */
function Ruler({ frame }: { frame: Frame }) {
  const { width, height } = frame;
  const unit = distanceUnit(settings.value);
  const { length, units } = rulerOf(frame, unit === "mi" ? KM_PER_MILE : 1);
  return (
    <g class="sketch-ruler">
      <path d={`M6 ${(height - 10).toFixed(1)}v5h${units.toFixed(1)}v-5`} />
      <text x={units + 11} y={height - 5}>
        {`${number(length, length < 1 ? 1 : 0)} ${unit}`}
      </text>
      <path d={`M${width - 12} 30V8m-4 6 4-6 4 6`} />
      <text x={width - 12} y={42} text-anchor="middle">
        {labels.sources.sketch.north}
      </text>
    </g>
  );
}

/** A neighbour's name stands beyond the middle of the border with it, inside the frame. */
function nameSpot({ name, border }: Neighbour, frame: Frame): Written {
  const at = frame.at(border);
  const [right, down] = [at.x - frame.width / 2, at.y - frame.height / 2];
  const far = Math.hypot(right, down) || 1;
  return inside({ text: name, x: at.x + (BEYOND * right) / far, y: at.y + (BEYOND * down) / far }, frame);
}
