/** One fill-up: what was added, what the tank should then contain, what the sensor showed. */

import { type Comparison, EXPANDED_UNCERTAINTY } from "../../chemistry/sensor";
import { labels } from "../../i18n";
import { day, inLine, number, volume, withUncertainty } from "../../i18n/format";
import { comparisonOf } from "../../model/fill-ups";
import type { FilledPart, FillRow, InTank } from "../../rows/fill";
import { settings } from "../../state/signals";
import { dropFill, putFill } from "../../store/fills";
import { offerUndo } from "../../widgets/undo";
import { fuelWaterText } from "../shared/fuel-water";
import { signed } from "../shared/result/summaries";

export function FillItem({ fill }: { fill: FillRow }) {
  const words = labels.fillUps;
  const compared = comparisonOf(fill);
  return (
    <div class="fill">
      <h2>{day(fill.filled_at)}</h2>
      {fill.added.map((part) => (
        <p key={`${part.name} ${part.volume}`}>
          {words.put(volume(part.volume, settings.value), part.name)}
          <small>{contentWords(part)}</small>
        </p>
      ))}
      <p>{heldWords(fill.after)}</p>
      {fill.sensed !== null && (
        <p class={compared && !compared.agree ? "warning" : undefined}>
          {words.sensed(withUncertainty(fill.sensed, EXPANDED_UNCERTAINTY))}{" "}
          {compared && (compared.agree ? words.within : words.outside)(differenceOf(compared))}
        </p>
      )}
      {fill.note && <p class="hint">{fill.note}</p>}
      <button type="button" class="plain" onClick={() => void remove(fill)}>
        {words.remove}
      </button>
    </div>
  );
}

/** The difference with its sign and its uncertainty, in points. */
export function differenceOf({ difference, expanded_uncertainty }: Comparison): string {
  return labels.parts.plusMinus(signed(difference), number(expanded_uncertainty, 1), labels.fillUps.points);
}

function contentWords({ content, expanded_uncertainty, from, water }: FilledPart): string {
  const words = labels.fillUps;
  if (content === null || expanded_uncertainty === null) return words.unknown;
  return inLine([
    withUncertainty(content, expanded_uncertainty),
    words.from[from],
    water !== null && words.water(fuelWaterText(water)),
  ]);
}

function heldWords({ volume: litres, content, expanded_uncertainty }: InTank): string {
  const words = labels.fillUps;
  if (litres === null || content === null || expanded_uncertainty === null) return words.heldUnknown;
  return words.held(volume(litres, settings.value), withUncertainty(content, expanded_uncertainty));
}

/** Removed from the history only: the tank stays as entered. */
async function remove(fill: FillRow): Promise<void> {
  await dropFill(fill.id);
  offerUndo(labels.fillUps.removed, () => void putFill(fill));
}
