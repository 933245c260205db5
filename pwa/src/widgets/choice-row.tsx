/** A choice of a few: real radio buttons whose whole face can be tapped. */

import type { ComponentChildren } from "preact";
import { useId } from "preact/hooks";

export interface Choice<Value extends string> {
  value: Value;
  label: ComponentChildren;
  hint?: string | undefined;
}

export interface ChoiceRowProps<Value extends string> {
  legend: string;
  options: readonly Choice<Value>[];
  value: Value | null;
  onValue: (value: Value) => void;
  /** One below the other, for options with a sentence. */
  tall?: boolean;
  /** Hides the legend if the heading above already says it. */
  bare?: boolean;
  hint?: string | undefined;
}

export function ChoiceRow<Value extends string>(props: ChoiceRowProps<Value>) {
  const { legend, options, value, onValue, tall, bare, hint } = props;
  const name = useId();
  return (
    <fieldset class="choice">
      <legend class={bare ? "unseen" : undefined}>{legend}</legend>
      <div class={tall ? "choice-options tall" : "choice-options"}>
        {options.map((option) => (
          <label key={option.value} class="choice-option">
            <input
              type="radio"
              name={name}
              value={option.value}
              checked={option.value === value}
              onChange={() => onValue(option.value)}
            />
            <span>
              {option.label}
              {option.hint && <small>{option.hint}</small>}
            </span>
          </label>
        ))}
      </div>
      {hint && <p class="hint">{hint}</p>}
    </fieldset>
  );
}
