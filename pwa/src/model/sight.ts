/**
 * The guide over the live picture: where a tube's marks are seen while it is held to it, and what a marked photo teaches
 * of a tube. Pure geometry; places are pixels of the picture, volumes mL.
 */

import { type Marks, type Place, place_of_volume } from "../chemistry/axis";

export interface Size {
  /** Pixels */
  width: number;
  height: number;
}

/** How a tube looked in a marked photo. Kept on this phone, never sent. */
export interface Sight {
  /** What the three marks stood for, from the bottom of the tube. */
  bottom: number;
  water: number;
  fuel: number;
  /** Where the water mark was seen, and how wide the tube is: shares of the way from the bottom mark to the fuel mark. */
  share: number;
  width: number;
}

/** Volumes of the marks in a run. */
export type Volumes = Pick<Sight, "bottom" | "water" | "fuel">;

export interface Guide {
  /** The line's place means nothing yet. */
  marks: Marks;
  volumes: Volumes;
  /** Outside width of the tube, pixels. */
  width: number;
}

/**
 * Of the picture's height: from the bottom mark to the fuel mark. The line of most fuels is then in the middle of a level
 * picture, so the camera is at its height: nothing that parts there is seen from above or below.
 */
export const SPAN = 0.52;
/** Of the way from the water mark to the fuel mark: where that is. */
export const EYE = 0.75;
/**
 * Of the whole way: how far off a mark may be that a hand held to the guide. On drawn tubes, held 6 pixels off, 1 % too
 * large or small and 3 degrees off level (standard deviations), 34 of 35 lines were within what follows from this.
 */
const HELD = 0.03;
/** The outline of a tube that nobody has fitted yet, and what it can be fitted to. */
export const WIDTH = { usual: 0.16, least: 0.06, most: 0.4, step: 1.12 };

/** An upright tube before a level camera. filled: volumes at the water mark and the fuel mark of the run. */
export function guideOf(size: Size, filled: Omit<Volumes, "bottom">, offered: number, sight: Sight | null): Guide {
  const { bottom, share, width } = proportions(filled, offered, sight);
  const length = SPAN * size.height;
  const eye = share + EYE * (1 - share);
  const at = (part: number): Place => ({ x: size.width / 2, y: size.height / 2 + (eye - part) * length });
  return {
    marks: { bottom: at(0), water: at(share), fuel: at(1), line: at(eye) },
    volumes: { bottom, ...filled },
    width: width * length,
  };
}

type Proportions = Pick<Sight, "bottom" | "share" | "width">;

/** What is known of the tube, for the volumes of this run; an even tube seen straight on where nothing is known. */
function proportions({ water, fuel }: Omit<Volumes, "bottom">, offered: number, sight: Sight | null): Proportions {
  const level = (bottom: number) => (water - bottom) / (fuel - bottom);
  const width = sight?.width ?? WIDTH.usual;
  if (sight === null || sight.bottom >= water) return { bottom: offered, share: level(offered), width };
  const seen = (volume: number) => place_of_volume(unit(sight), volume, sight.bottom, sight.water, sight.fuel).y / UNIT;
  const length = seen(fuel);
  return { bottom: sight.bottom, share: seen(water) / length, width: width / length };
}

/** Long enough for marks to stand apart. */
const UNIT = 1000;

function unit({ share }: Sight): Marks {
  const at = (part: number): Place => ({ x: 0, y: part * UNIT });
  return { bottom: at(0), water: at(share), fuel: at(1), line: at(1) };
}

/** What a photo with its marks in place teaches of the tube. */
export function sightOf(marks: Marks, volumes: Volumes, width: number = WIDTH.usual): Sight {
  const [x, y] = [marks.fuel.x - marks.bottom.x, marks.fuel.y - marks.bottom.y];
  const along = (marks.water.x - marks.bottom.x) * x + (marks.water.y - marks.bottom.y) * y;
  return { ...volumes, share: along / (x * x + y * y), width };
}

/** A narrower or wider outline, within what tubes are. */
export function widened(width: number, wider: boolean): number {
  const next = wider ? width * WIDTH.step : width / WIDTH.step;
  return Math.min(Math.max(next, WIDTH.least), WIDTH.most);
}

/** The guide in a picture of another size and the same shape. */
export function scaled({ marks, volumes, width }: Guide, factor: number): Guide {
  const at = ({ x, y }: Place): Place => ({ x: x * factor, y: y * factor });
  const { bottom, water, fuel, line } = marks;
  return {
    marks: { bottom: at(bottom), water: at(water), fuel: at(fuel), line: at(line) },
    volumes,
    width: width * factor,
  };
}

/** Half-width of marks that stand where the guide was, pixels. */
export function heldPixels({ bottom, fuel }: Marks): number {
  return HELD * Math.hypot(fuel.x - bottom.x, fuel.y - bottom.y);
}
