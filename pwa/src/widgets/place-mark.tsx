/** The four icons in the bar, drawn from the tube. */

import type { JSX } from "preact";

export type Place = "test" | "sources" | "fuel" | "log";

export function PlaceMark({ place }: { place: Place }) {
  return (
    <svg viewBox="0 0 28 28" class="mark" aria-hidden="true" focusable="false">
      {MARKS[place]}
    </svg>
  );
}

const MARKS: Record<Place, JSX.Element> = {
  test: (
    <>
      <path class="mark-fill" d="M10.5 14h7v7.5a3.5 3.5 0 0 1-7 0z" />
      <path class="mark-line" d="M8.5 3h11M10.5 3v18.5a3.5 3.5 0 0 0 7 0V3" />
    </>
  ),
  sources: (
    <>
      <path class="mark-fill" d="M4 8h4v14a2 2 0 0 1-4 0zM12 12h4v10a2 2 0 0 1-4 0zM20 16h4v6a2 2 0 0 1-4 0z" />
      <path class="mark-line" d="M4 4v18a2 2 0 0 0 4 0V4M12 4v18a2 2 0 0 0 4 0V4M20 4v18a2 2 0 0 0 4 0V4" />
    </>
  ),
  fuel: (
    <>
      <path class="mark-fill" d="M5 16h18v8H5z" />
      <path class="mark-line" d="M5 11.5 10 7h13v17H5zM12 7V4h7v3M5 11.5 3 9.5 7 5.5l2 2" />
    </>
  ),
  log: (
    <>
      <path class="mark-line" d="M5 3.5h18v21H5zM9.5 3.5v21" />
      <path class="mark-line" d="M12.5 9h7.5M12.5 14h7.5M12.5 19h7.5" />
    </>
  ),
};
