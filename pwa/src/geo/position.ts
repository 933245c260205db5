/** Distances and bearings on the ground, from WGS 84 degrees. */

export interface Point {
  latitude: number;
  longitude: number;
}

/** What may have no position yet. */
export type Somewhere = { [Key in keyof Point]: number | null };

export function isSomewhere<Place extends Somewhere>(place: Place): place is Place & Point {
  return place.latitude !== null && place.longitude !== null;
}

/** Mean radius of the earth, km (IUGG). */
const EARTH = 6371.0088;
const RADIANS = Math.PI / 180;

/** Great-circle distance, km (haversine). */
export function distance_km(a: Point, b: Point): number {
  const north = ((b.latitude - a.latitude) * RADIANS) / 2;
  const east = ((b.longitude - a.longitude) * RADIANS) / 2;
  const half =
    Math.sin(north) ** 2 + Math.cos(a.latitude * RADIANS) * Math.cos(b.latitude * RADIANS) * Math.sin(east) ** 2;
  return 2 * EARTH * Math.asin(Math.min(1, Math.sqrt(half)));
}

/** The same, null if one of the positions is unknown. */
export function distanceTo(from: Point | null, to: Somewhere): number | null {
  return from !== null && isSomewhere(to) ? distance_km(from, to) : null;
}

/** Initial bearing from a to b, degrees clockwise from north, 0 to below 360. */
export function bearing_deg(a: Point, b: Point): number {
  const east = (b.longitude - a.longitude) * RADIANS;
  const from = a.latitude * RADIANS;
  const to = b.latitude * RADIANS;
  const y = Math.sin(east) * Math.cos(to);
  const x = Math.cos(from) * Math.sin(to) - Math.sin(from) * Math.cos(to) * Math.cos(east);
  return (Math.atan2(y, x) / RADIANS + 360) % 360;
}
