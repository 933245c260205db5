/** Gets the phone's position and saves it. */

import type { Facts } from "../store/facts";
import { writeFact } from "../store/settings";

export class PositionTrouble extends Error {
  override name = "PositionTrouble";
  constructor(readonly code: "refused" | "unavailable" | "timeout") {
    super(`position ${code}`);
  }
}

/** Asks the phone once; works without a signal. Saves the answer. Throws PositionTrouble. */
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
