/** Where the phone is, and how far it is from there. */

import { type Facts, writeFact } from "./store/settings";

export interface Point {
  latitude: number;
  longitude: number;
}

export class PositionTrouble extends Error {
  override name = "PositionTrouble";
  constructor(readonly code: "refused" | "unavailable" | "timeout") {
    super(`position ${code}`);
  }
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

/** Initial bearing from a to b, degrees clockwise from north, 0 to below 360. */
export function bearing_deg(a: Point, b: Point): number {
  const east = (b.longitude - a.longitude) * RADIANS;
  const from = a.latitude * RADIANS;
  const to = b.latitude * RADIANS;
  const y = Math.sin(east) * Math.cos(to);
  const x = Math.cos(from) * Math.sin(to) - Math.sin(from) * Math.cos(to) * Math.cos(east);
  return (Math.atan2(y, x) / RADIANS + 360) % 360;
}

/** Asks the phone once; works without a signal. Remembers the answer. Throws PositionTrouble. */
export async function findPosition(patience = 30_000): Promise<Facts["position"]> {
  const fix = await new Promise<GeolocationPosition>((resolve, reject) => {
    if (!("geolocation" in navigator)) {
      reject(new PositionTrouble("unavailable"));
      return;
    }
    navigator.geolocation.getCurrentPosition(resolve, (fault) => reject(new PositionTrouble(codeOf(fault))), {
      enableHighAccuracy: true,
      timeout: patience,
      maximumAge: 60_000,
    });
  });
  const position = {
    latitude: fix.coords.latitude,
    longitude: fix.coords.longitude,
    accuracy: fix.coords.accuracy,
    at: new Date(fix.timestamp).toISOString(),
  };
  await writeFact("position", position);
  return position;
}

function codeOf(fault: GeolocationPositionError): PositionTrouble["code"] {
  if (fault.code === fault.PERMISSION_DENIED) return "refused";
  return fault.code === fault.TIMEOUT ? "timeout" : "unavailable";
}
