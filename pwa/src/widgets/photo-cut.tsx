/** A magnified part of a photo: what is under a mark or the line, and how far off it may be. */

import type { Place } from "../chemistry/axis";
import type { Size } from "../model/sight";

export interface PhotoCutProps {
  /** Of the photo's blob. */
  address: string;
  size: Size;
  /** The middle of the part, pixels of the photo. */
  place: Place;
  /** Of the tube, pixels: the part shows the tube and a little beside it. */
  width: number;
  /** Half-width of the mark, pixels. */
  band: number;
  alt: string;
}

/** Shares of the tube's width: the part shown across and along, and the middle that no stroke covers. */
const SHOWN = { across: 1.4, along: 0.7 };
const FREE = 0.5;

export function PhotoCut({ address, size, place: { x, y }, width, band, alt }: PhotoCutProps) {
  const [across, along] = [SHOWN.across * width, SHOWN.along * width];
  const [left, right] = [x - across / 2, x + across / 2];
  const free = (FREE * width) / 2;
  return (
    <svg class="photo-cut" viewBox={`${left} ${y - along / 2} ${across} ${along}`} role="img" aria-label={alt}>
      <image href={address} width={size.width} height={size.height} />
      <path class="photo-band" d={`M${left} ${y - band}H${x - free}V${y + band}H${left}Z`} />
      <path class="photo-band" d={`M${right} ${y - band}H${x + free}V${y + band}H${right}Z`} />
    </svg>
  );
}
