/** What makes a result uncertain, and what would make it more certain. */

import { useMemo } from "preact/hooks";
import type { Advice } from "../../../chemistry/advice";
import type { Result } from "../../../chemistry/budget";
import type { Measurement } from "../../../chemistry/measurement";
import { labels } from "../../../i18n";
import { mL, number, pair, percent, temperatureSpan } from "../../../i18n/format";
import { settings } from "../../../state/signals";
import { BudgetBar } from "../../../widgets/budget-bar";
import { StepsList } from "../../../widgets/steps-list";
import { hintsOf, sharesOf } from "./outcome";
import { signed } from "./summaries";

export interface UncertainViewProps {
  found: Result;
  measurement: Measurement;
  /** The test is saved: advice for the tube is left out. */
  isSaved: boolean;
}

export function UncertainView({ found, measurement, isSaved }: UncertainViewProps) {
  const words = labels.result;
  const { advice, perTenDegrees } = useMemo(() => hintsOf(measurement), [measurement]);
  const shares = sharesOf(found);
  const [largest] = shares;
  return (
    <section class="uncertain" aria-label={words.parts}>
      <h3>{words.parts}</h3>
      <BudgetBar
        name={shares.map((share) => pair(nameOf(share.name), percent(100 * share.share, 0))).join("; ")}
        parts={shares}
      />
      {largest && <p>{words.largest(nameOf(largest.name), words.points(number(largest.points, 1)))}</p>}
      {!isSaved && advice.length > 0 && <p>{advice.map(actText).join(" ")}</p>}
      {perTenDegrees !== null && (
        <p class="hint">{words.guessed(temperatureSpan(10, settings.value), signed(perTenDegrees))}</p>
      )}
      <p class="hint">{words.partsHint}</p>
      <StepsList
        title={words.parts}
        bare
        steps={shares.map(({ letter, name, points }) => ({
          letter,
          name: nameOf(name),
          value: `±\u00a0${number(points, 2)}`,
        }))}
      />
    </section>
  );
}

function actText({ act, expanded_uncertainty, water, fuel }: Advice): string {
  const left = number(expanded_uncertainty, 1);
  const words = labels.result.act;
  if (act === "other_filling") return words.other_filling(left, volumeOf(water), volumeOf(fuel));
  return words[act](left);
}

/** With a decimal only if needed. */
function volumeOf(volume: number | null): string {
  return volume === null ? "" : mL(volume, Number.isInteger(volume) ? 0 : 1);
}

function nameOf(component: string): string {
  return labels.result.component[component] ?? component;
}
