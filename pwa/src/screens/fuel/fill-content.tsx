/** What was added: the station, and the origin of its content. */

import { labels } from "../../i18n";
import { withUncertainty } from "../../i18n/format";
import { pumpStock } from "../../model/tank";
import type { FilledPart } from "../../rows/fill";
import { useStored } from "../../state/hooks";
import { readSource, type SourcePage } from "../../store/sources";
import { SelectField } from "../../widgets/fields";
import { Reading } from "../../widgets/reading";
import { SourceChoice } from "../shared/source/source-choice";
import { ContentFields } from "./content-fields";
import { testLine } from "./test-line";

export type Filling = Omit<FilledPart, "volume">;

export const UNKNOWN_FILLING: Filling = {
  ...{ content: null, expanded_uncertainty: null, source: null, name: "" },
  ...{ from: "typed", test: null, water: null },
};
/** The number of newest tests offered. */
const MOST_TESTS = 20;

export interface FillContentProps {
  filling: Filling;
  onFilling: (filling: Filling) => void;
  tried: boolean;
}

export function FillContent({ filling, onFilling, tried }: FillContentProps) {
  const words = labels.fillUps;
  const { source, name } = filling;
  const page = useStored(
    async () => (source === null ? undefined : readSource(source)),
    ["own_tests", "pulled_tests", "figures"],
    [source],
  );
  const offered = page ? offeredAt(page) : [];
  const chosen = filling.from === "test" ? filling.test : filling.from;
  const take = (key: string) => {
    const found = offered.find((one) => one.key === key)?.filling ?? UNKNOWN_FILLING;
    onFilling({ ...found, source, name: page ? nameOf(page) : name });
  };
  return (
    <>
      <section class="field">
        <h2>{words.where}</h2>
        <SourceChoice optional chosen={source} onChosen={(next) => onFilling({ ...UNKNOWN_FILLING, source: next })} />
      </section>
      {offered.length > 0 && (
        <SelectField
          label={words.content}
          value={chosen ?? ""}
          onValue={take}
          options={[
            { value: "typed", label: words.typed },
            ...offered.map((one) => ({ value: one.key, label: one.label })),
          ]}
        />
      )}
      {filling.from !== "typed" && filling.content !== null && (
        <Reading content={filling.content} uncertainty={filling.expanded_uncertainty} />
      )}
      {filling.from === "typed" && (
        <ContentFields
          content={filling.content}
          uncertainty={filling.expanded_uncertainty}
          onContent={(content) => onFilling({ ...filling, content })}
          onUncertainty={(expanded_uncertainty) => onFilling({ ...filling, expanded_uncertainty })}
          tried={tried}
        />
      )}
    </>
  );
}

export function nameOf({ source }: SourcePage): string {
  return [source.name, source.pump].filter(Boolean).join(", ");
}

interface Offered {
  key: string;
  label: string;
  filling: Filling;
}

/** The tests of the pump, newest first, and the estimate for the next fill. */
function offeredAt({ tests, figures }: SourcePage): Offered[] {
  const part = figures ? pumpStock(figures)?.part : undefined;
  const pumped = tests.filter((test) => test.sampled === "pump").slice(0, MOST_TESTS);
  const tested = pumped.map((test): Offered => {
    const { id, content, expanded_uncertainty, fuel_water } = test;
    const filling: Filling = { ...UNKNOWN_FILLING, content, expanded_uncertainty, from: "test", test: id };
    return { key: id, label: testLine(test), filling: { ...filling, water: fuel_water } };
  });
  if (part === undefined) return tested;
  const { content, expanded_uncertainty } = part;
  const label = labels.fillUps.estimate(withUncertainty(content, expanded_uncertainty));
  const filling: Filling = { ...UNKNOWN_FILLING, content, expanded_uncertainty, from: "estimate" };
  return [...tested, { key: "estimate", label, filling }];
}
