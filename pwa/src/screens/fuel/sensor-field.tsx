/** The reading of the car's fuel sensor, in per cent or hertz. It says so if a signal does not mean a content. */

import { useState } from "preact/hooks";
import { frequency_of_content, signal } from "../../chemistry/sensor";
import { labels } from "../../i18n";
import { frequencyOf } from "../../model/tank";
import { ChoiceRow } from "../../widgets/choice-row";
import { NumberField } from "../../widgets/number-field";

type As = Parameters<typeof frequencyOf>[1];

const KINDS: readonly As[] = ["percent", "frequency"];
const UNIT = { percent: "%", frequency: "Hz" } as const;
const MOST = { percent: 100, frequency: 250 } as const;

export interface SensorFieldProps {
  /** Hz, for a signal that means a content; otherwise null. */
  onFrequency: (frequency: number | null) => void;
  /** %, suggested while the field is empty. */
  expected: number;
}

export function SensorField({ onFrequency, expected }: SensorFieldProps) {
  const words = labels.fuel.sensor;
  const [as, setAs] = useState<As>("percent");
  const [shown, setShown] = useState<number | null>(null);
  const state = shown === null ? "normal" : signal(frequencyOf(shown, as));
  const enter = (next: number | null, kind: As) => {
    setShown(next);
    const frequency = next === null ? null : frequencyOf(next, kind);
    onFrequency(frequency !== null && signal(frequency) === "normal" ? frequency : null);
  };
  return (
    <>
      <ChoiceRow
        legend={words.askAs}
        value={as}
        onValue={(next) => {
          setAs(next);
          enter(null, next);
        }}
        options={KINDS.map((value) => ({ value, label: words.as[value] }))}
      />
      <NumberField
        key={as}
        label={words.shows}
        unit={UNIT[as]}
        value={shown}
        onValue={(next) => enter(next, as)}
        step={1}
        min={0}
        max={MOST[as]}
        offered={Math.round(as === "percent" ? expected : frequency_of_content(expected))}
      />
      {state !== "normal" && (
        <p class="warning" role="alert">
          {words[state]}
        </p>
      )}
    </>
  );
}
