/** The bottom bar with the four places. */

import { labels } from "../i18n";
import { to } from "../state/router";
import { type Place, PlaceMark } from "../widgets/place-mark";

const PLACES: Place[] = ["test", "sources", "fuel", "log"];

/** Addresses that belong to a place but do not start with its name. */
const BELONGS: Record<string, Place> = {
  source: "sources",
  region: "sources",
  tubes: "log",
  settings: "log",
  method: "test",
  repair: "log",
};

/** The place to which the first part of an address belongs. */
export function placeOf(first: string): Place | null {
  return BELONGS[first] ?? PLACES.find((place) => place === first) ?? null;
}

export function Bar({ place }: { place: string }) {
  const current = placeOf(place);
  return (
    <nav class="bar" aria-label={labels.common.bar}>
      {PLACES.map((name) => (
        <a key={name} href={to(name)} aria-current={name === current ? "page" : undefined}>
          <PlaceMark place={name} />
          {labels.common.places[name]}
        </a>
      ))}
    </nav>
  );
}
