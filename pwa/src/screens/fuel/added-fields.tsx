/** One addition to the tank: its volume, and its content, typed or from a test. */

import { useState } from "preact/hooks";
import { labels } from "../../i18n";
import { SourceChoice } from "../shared/source/source-choice";
import { ContentFields } from "./content-fields";
import { TestChoice } from "./test-choice";
import { VolumeField } from "./volume-field";

export interface Added {
  /** L */
  volume: number | null;
  /** % and %, 95 % */
  content: number | null;
  uncertainty: number | null;
}

export const EMPTY_ADDED: Added = { volume: null, content: null, uncertainty: null };

export interface AddedFieldsProps {
  number: number;
  added: Added;
  onAdded: (part: Partial<Added>) => void;
  fault?: string | undefined;
}

export function AddedFields({ number, added, onAdded, fault }: AddedFieldsProps) {
  const words = labels.fuel.heel;
  const [source, setSource] = useState<string | null>(null);
  const [test, setTest] = useState<string | null>(null);
  return (
    <section class="form" aria-label={words.added(number)}>
      <h2>{words.added(number)}</h2>
      <VolumeField label={words.volume} value={added.volume} onValue={(volume) => onAdded({ volume })} fault={fault} />
      <ContentFields
        content={added.content}
        uncertainty={added.uncertainty}
        onContent={(content) => onAdded({ content })}
        onUncertainty={(uncertainty) => onAdded({ uncertainty })}
        tried
      />
      <details class="more">
        <summary>{words.fromTest}</summary>
        <div class="form">
          <SourceChoice chosen={source} onChosen={setSource} tested />
          {source !== null && (
            <TestChoice
              source={source}
              chosen={test}
              onChosen={(one) => {
                setTest(one?.id ?? null);
                if (one) onAdded({ content: one.content, uncertainty: one.expanded_uncertainty });
              }}
            />
          )}
        </div>
      </details>
    </section>
  );
}
