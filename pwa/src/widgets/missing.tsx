/** Shown in place of something that no longer exists: says so, and links back to its list. */

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
