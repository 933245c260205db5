/** A choice of one of the tests at a source, for its content. */

import { labels } from "../../i18n";
import { useStored } from "../../state/hooks";
import { readSource, type SourceTest } from "../../store/sources";
import { SelectField } from "../../widgets/fields";
import { testLine } from "./test-line";

export interface TestChoiceProps {
  source: string;
  chosen: string | null;
  onChosen: (test: SourceTest | null) => void;
  /** Which of them are offered; all if omitted. */
  suits?: (test: SourceTest) => boolean;
}

export function TestChoice({ source, chosen, onChosen, suits = () => true }: TestChoiceProps) {
  const words = labels.fuel.can;
  const page = useStored(() => readSource(source), ["own_tests", "pulled_tests"], [source]);
  const tests = (page?.tests ?? []).filter(suits);
  const options = [
    { value: "", label: words.testNone },
    ...tests.map((test) => ({ value: test.id, label: testLine(test) })),
  ];
  return (
    <SelectField
      label={words.test}
      value={chosen ?? ""}
      onValue={(id) => onChosen(tests.find((test) => test.id === id) ?? null)}
      options={options}
    />
  );
}
