/** A can's content: from the person's own test, or typed with its uncertainty. */

import { labels } from "../../i18n";
import type { CanRow } from "../../rows/can";
import { useStored } from "../../state/hooks";
import { listCans } from "../../store/cans";
import { type Holding, isOfCan } from "./can-age";
import { ContentFields } from "./content-fields";
import { TestChoice } from "./test-choice";

export interface CanContentProps {
  can: CanRow | null;
  source: string | null;
  filledAt: string;
  holding: Holding;
  onHolding: (holding: Holding) => void;
  tried: boolean;
}

export function CanContent({ can, source, filledAt, holding, onHolding, tried }: CanContentProps) {
  const words = labels.fuel.can;
  const cans = useStored(listCans, ["cans"]) ?? [];
  const others = cans.filter((one) => one.id !== can?.id);
  const typed = (part: Partial<Holding>) => onHolding({ ...holding, ...part, test: null, tested_at: null });
  return (
    <section class="form" aria-label={labels.fuel.tank.content}>
      {source !== null && (
        <TestChoice
          source={source}
          chosen={holding.test}
          onChosen={(test) =>
            onHolding({
              content: test?.content ?? null,
              expanded_uncertainty: test?.expanded_uncertainty ?? null,
              test: test?.id ?? null,
              tested_at: test?.sampled_at ?? null,
            })
          }
          suits={(test) => test.id === holding.test || isOfCan(test, filledAt, others)}
        />
      )}
      {holding.test === null && (
        <>
          <p class="hint">{words.typedHint}</p>
          <ContentFields
            content={holding.content}
            uncertainty={holding.expanded_uncertainty}
            onContent={(content) => typed({ content })}
            onUncertainty={(expanded_uncertainty) => typed({ expanded_uncertainty })}
            tried={tried}
          />
        </>
      )}
    </section>
  );
}
