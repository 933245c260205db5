/** The page's one alarm: it belongs to the loudspeaker, not to a screen, so it sounds in every place. */

import { labels } from "../../labels";
import { Alarm } from "../../parts/alarm";

export const alarm = new Alarm();

/** Sounds when the tube has settled; null: nothing is settling. */
export function setSettling(until: number | null): void {
  alarm.set(until, { title: labels.parts.clockNotifyTitle, body: labels.parts.clockNotifyBody });
}
