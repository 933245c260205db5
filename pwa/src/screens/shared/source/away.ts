/** Where something is from here. */

import { bearing_deg, distance_km, isSomewhere, type Point, type Somewhere } from "../../../geo/position";
import { labels } from "../../../i18n";
import { bearing, distance } from "../../../i18n/format";
import { settings } from "../../../state/signals";

/** Distance and direction; null if one of the two positions is unknown. */
export function away(from: Point | null, to: Somewhere): string | null {
  if (from === null || !isSomewhere(to)) return null;
  return labels.format.away(distance(distance_km(from, to), settings.value), bearing(bearing_deg(from, to)));
}
