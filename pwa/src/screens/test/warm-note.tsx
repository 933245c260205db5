/** How warm mixing has left the tube, and its effect on the line, while it matters. */

import { labels } from "../../i18n";
import { number, temperatureSpan } from "../../i18n/format";
import { minutesSince } from "../../model/temperatures";
import { LATER, type Mixture, warmthOf } from "../../model/warming";
import type { DraftRun } from "../../rows/draft";
import { useNow } from "../../state/hooks";
import { settings } from "../../state/signals";

/** Often enough for something that changes by a tenth of a point in minutes. */
const OFTEN = 15_000;

export function WarmNote({ run, mixture }: { run: DraftRun; mixture: Mixture }) {
  const words = labels.test.warm;
  const minutes = minutesSince(run, useNow(OFTEN).getTime());
  const warmth = minutes === null ? null : warmthOf(mixture, minutes);
  if (warmth === null) return null;
  const { above, above_uncertainty, now, later, points_uncertainty } = warmth;
  const degrees = words.degrees(number(spanOf(above), 0), temperatureSpan(above_uncertainty, settings.value));
  return (
    <p class="hint">
      {words.note(degrees, number(now, 1), number(later, 1), number(points_uncertainty, 1), number(LATER, 0))}
    </p>
  );
}

/** Kelvins in the unit of the settings. */
function spanOf(kelvin: number): number {
  return settings.value.temperature_unit === "F" ? kelvin * 1.8 : kelvin;
}
