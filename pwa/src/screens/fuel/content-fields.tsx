/** A content and its uncertainty, typed together: neither is of use without the other. */

import { labels } from "../../i18n";
import { NumberField } from "../../widgets/number-field";

export interface ContentFieldsProps {
  content: number | null;
  uncertainty: number | null;
  onContent: (content: number | null) => void;
  onUncertainty: (uncertainty: number | null) => void;
  /** Reports a missing uncertainty. */
  tried: boolean;
}

export function ContentFields({ content, uncertainty, onContent, onUncertainty, tried }: ContentFieldsProps) {
  const words = labels.fuel.tank;
  const missing = tried && content !== null && uncertainty === null;
  return (
    <div class="form-pair">
      <NumberField
        label={words.content}
        unit="%"
        value={content}
        onValue={onContent}
        step={1}
        min={0}
        max={100}
        offered={80}
      />
      <NumberField
        label={words.uncertainty}
        unit="%"
        value={uncertainty}
        onValue={onUncertainty}
        step={0.5}
        min={0.1}
        max={50}
        offered={2}
        hint={words.uncertaintyHint}
        fault={missing ? words.uncertaintyFault : undefined}
      />
    </div>
  );
}
