/** What stands where something is no longer: that it is not here, and the way back to where such things are. */

import { to } from "../state/router";

export interface MissingProps {
  title: string;
  back: string;
  /** The place that `back` names. */
  place: string;
}

export function Missing({ title, back, place }: MissingProps) {
  return (
    <div class="form">
      <h1>{title}</h1>
      <a class="button" href={to(place)}>
        {back}
      </a>
    </div>
  );
}
