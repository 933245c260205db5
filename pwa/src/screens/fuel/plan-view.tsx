/** A plan in words: how much of each fuel, and the tank afterwards. */

import type { Plan } from "../../chemistry/blend";
import { labels } from "../../i18n";
import { volume } from "../../i18n/format";
import type { Stock, Way } from "../../model/tank";
import { settings } from "../../state/signals";
import { Reading } from "../../widgets/reading";
import { TubeGlyph } from "../../widgets/tube-glyph";

export interface PlanViewProps {
  plan: Plan;
  way: Way;
  stocks: readonly Stock[];
  onDone: () => void;
}

export function PlanView({ plan, way, stocks, onDone }: PlanViewProps) {
  const words = labels.fuel.reach;
  const added = stocks.map((stock, index) => ({ stock, litres: plan.additions[index] ?? 0 }));
  const used = added.filter(({ litres }) => litres > 0);
  const sentence = way === "two" ? words.outcomeOfTwo[plan.outcome] : words.outcome[plan.outcome];
  return (
    <section class="result" aria-label={words.planTitle}>
      <h2>{words.planTitle}</h2>
      {sentence && <p class={plan.outcome === "already_there" ? undefined : "warning"}>{sentence}</p>}
      {used.length > 0 && (
        <>
          <ol class="acts">
            {used.map(({ stock, litres }) => (
              <li key={stock.key}>
                <span>{words.add(volume(litres, settings.value), stock.name)}</span>
              </li>
            ))}
          </ol>
          <div class="result-main">
            <TubeGlyph
              content={plan.blend.content}
              uncertainty={plan.blend.expanded_uncertainty}
              size="medium"
              silent
            />
            <div>
              <p class="quiet">{words.result}</p>
              <Reading content={plan.blend.content} uncertainty={plan.blend.expanded_uncertainty} size="large" />
              <p>{volume(plan.blend.volume, settings.value)}</p>
            </div>
          </div>
          <button type="button" onClick={onDone}>
            {words.done}
          </button>
          <p class="hint">{words.doneHint}</p>
        </>
      )}
    </section>
  );
}
