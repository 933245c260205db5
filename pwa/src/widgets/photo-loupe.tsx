/** The area under the finger, magnified three times, in a corner away from the finger. */

import type { Place } from "../chemistry/axis";

export interface Picture {
  /** URL of the picture, such as a blob's. */
  address: string;
  alt: string;
  width: number;
  height: number;
}

const SIDE = 120;
/** CSS pixels per pixel of the picture. */
const ZOOM = 1.5;

export function PhotoLoupe({ picture, place }: { picture: Picture; place: Place }) {
  const aside = place.x < picture.width / 2 && place.y < picture.height / 2;
  return (
    <svg
      class={aside ? "photo-loupe photo-loupe-aside" : "photo-loupe"}
      viewBox={`${place.x - SIDE / ZOOM / 2} ${place.y - SIDE / ZOOM / 2} ${SIDE / ZOOM} ${SIDE / ZOOM}`}
      width={SIDE}
      height={SIDE}
      aria-hidden="true"
      focusable="false"
    >
      <image href={picture.address} width={picture.width} height={picture.height} />
      <path d={`M${place.x - 20} ${place.y}h40M${place.x} ${place.y - 20}v40`} vector-effect="non-scaling-stroke" />
    </svg>
  );
}
