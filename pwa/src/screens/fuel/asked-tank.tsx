/** The tank's contents, typed for one calculation if no tank is entered; nothing is saved. */

import { labels } from "../../i18n";
import type { Added } from "./added-fields";
import { ContentFields } from "./content-fields";
import { VolumeField } from "./volume-field";

export interface AskedTankProps {
  asked: Added;
  onAsked: (asked: Added) => void;
  /** The calculation needs the litres, too. */
  litres?: boolean;
}

export function AskedTank({ asked, onAsked, litres = false }: AskedTankProps) {
  const words = labels.fuel.tank;
  return (
    <section class="form" aria-label={words.formTitle}>
      <p class="hint">{words.asked}</p>
      {litres && (
        <VolumeField label={words.volume} value={asked.volume} onValue={(volume) => onAsked({ ...asked, volume })} />
      )}
      <ContentFields
        content={asked.content}
        uncertainty={asked.uncertainty}
        onContent={(content) => onAsked({ ...asked, content })}
        onUncertainty={(uncertainty) => onAsked({ ...asked, uncertainty })}
        tried
      />
    </section>
  );
}
