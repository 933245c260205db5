/**
 * The guide over the live picture: where a tube's marks appear while it is aligned with it, and what a marked photo
 * shows about a tube. Pure geometry; positions are picture pixels, volumes mL.
 */

import { type Marks, type Place, place_of_volume } from "../chemistry/axis";

export interface Size {
  /** Pixels */
  width: number;
  height: number;
}

/** The proportions of a tube in a marked photo. Stays on this phone, never sent. */
export interface Sight {
  /** The volumes at the three marks, from the bottom of the tube. */
  bottom: number;
  water: number;
  fuel: number;
  /** The water mark's position, and the tube's width: shares of the way from the bottom mark to the fuel mark. */
  share: number;
  width: number;
}

/** Volumes of the marks in a run. */
export type Volumes = Pick<Sight, "bottom" | "water" | "fuel">;

export interface Guide {
  /** The position of the line means nothing yet. */
  marks: Marks;
  volumes: Volumes;
  /** Outside width of the tube, pixels. */
  width: number;
}

/**
 * Share of the picture's height from the bottom mark to the fuel mark. The line of most fuels is then in the middle of
 * a level picture, at the height of the camera: the parting line there is not seen from above or below.
 */
export const SPAN = 0.52;
/** That position, as a share of the way from the water mark to the fuel mark. */
export const EYE = 0.75;
/**
 * How far off a mark may be when a hand holds the tube to the guide, as a share of the whole length. On drawn tubes,
 * held 6 pixels off, 1 % too large or small and 3 degrees off level (standard deviations), 34 of 35 lines were within
 * the half-width that follows from this.
 */
const HELD = 0.03;
/** The width of a tube's outline before anybody has adjusted it, and the range of adjustment. */
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

/** The known proportions of the tube, for the volumes of this run; if unknown, an even tube seen straight on. */
function proportions({ water, fuel }: Omit<Volumes, "bottom">, offered: number, sight: Sight | null): Proportions {
  const level = (bottom: number) => (water - bottom) / (fuel - bottom);
  const width = sight?.width ?? WIDTH.usual;
  if (sight === null || sight.bottom >= water) return { bottom: offered, share: level(offered), width };
  const seen = (volume: number) => place_of_volume(unit(sight), volume, sight.bottom, sight.water, sight.fuel).y / UNIT;
  const length = seen(fuel);
  return { bottom: sight.bottom, share: seen(water) / length, width: width / length };
}

/** Long enough to keep marks apart. */
const UNIT = 1000;

function unit({ share }: Sight): Marks {
  const at = (part: number): Place => ({ x: 0, y: part * UNIT });
  return { bottom: at(0), water: at(share), fuel: at(1), line: at(1) };
}

/** What a photo with its marks in place shows about the tube. */
export function sightOf(marks: Marks, volumes: Volumes, width: number = WIDTH.usual): Sight {
  const [x, y] = [marks.fuel.x - marks.bottom.x, marks.fuel.y - marks.bottom.y];
  const along = (marks.water.x - marks.bottom.x) * x + (marks.water.y - marks.bottom.y) * y;
  return { ...volumes, share: along / (x * x + y * y), width };
}

/** A narrower or wider outline, within the range of tubes. */
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

/** Half-width of marks placed by the guide, pixels. */
export function heldPixels({ bottom, fuel }: Marks): number {
  return HELD * Math.hypot(fuel.x - bottom.x, fuel.y - bottom.y);
}
