/** A number that can be set with a thumb: large digits, plus and minus, and the numeric keypad on tap. */

import { useEffect, useId, useRef, useState } from "preact/hooks";
import { labels } from "../i18n";
import { numberOf, stepped, textOf } from "./number-text";
import { useHold } from "./use-hold";

export interface NumberFieldProps {
  label: string;
  /** Shown after the number; it is part of the accessible name. */
  unit: string;
  value: number | null;
  /** Called with every complete number within the limits, and with null if there is none. */
  onValue: (value: number | null) => void;
  step: number;
  min: number;
  max: number;
  /** Suggested while the field is empty: the first tap on plus or minus uses it. */
  offered?: number | null;
  hint?: string | undefined;
  /** One sentence from outside, if the number is possible but does not fit. */
  fault?: string | undefined;
  /** Hides the label if the heading above already says it. */
  bare?: boolean;
  /** What the keypad's last key does besides closing it, once the number is valid. */
  onEnter?: () => void;
  /** Plus above, minus below: for a level that rises. */
  upright?: boolean;
}

export function NumberField(props: NumberFieldProps) {
  const { label, unit, value, onValue, step, min, max, offered = null, hint, fault, bare, upright, onEnter } = props;
  const id = useId();
  const [text, setText] = useState(textOf(value));
  const [checked, setChecked] = useState(true);
  const latest = useRef(value);
  const passed = useRef<(number | null)[]>([]);

  // A value from outside (a loaded draft, a changed unit) replaces the text; the person's own typing does not, even if
  // it is saved and comes back after more was typed.
  useEffect(() => {
    const own = passed.current.indexOf(value);
    passed.current = passed.current.slice(own + 1);
    if (own !== -1 || value === latest.current) return;
    passed.current = [];
    latest.current = value;
    setText(textOf(value));
  }, [value]);

  const pass = (next: number | null) => {
    if (next !== latest.current) passed.current = [...passed.current, next];
    latest.current = next;
    onValue(next);
  };
  const typed = (raw: string) => {
    setText(raw);
    setChecked(false);
    const number = numberOf(raw);
    const usable = number !== null && number >= min && number <= max;
    pass(usable ? number : null);
  };
  const change = (direction: 1 | -1) => {
    const current = numberOf(text);
    const usable = current !== null && !Number.isNaN(current);
    const start = offered ?? (direction === 1 ? min : max);
    const next = usable ? stepped(current, step, direction, min, max) : start;
    setText(textOf(next));
    setChecked(true);
    pass(next);
  };
  const flip = () => {
    const current = numberOf(text);
    if (current !== null && !Number.isNaN(current)) typed(textOf(-current));
  };
  const less = useHold(() => change(-1));
  const more = useHold(() => change(1));
  const problem = (checked ? limitFault(numberOf(text), min, max, unit) : undefined) ?? fault;
  const described = [hint && `${id}h`, problem && `${id}f`].filter(Boolean).join(" ");
  return (
    <div class="field">
      <label for={id} class={bare ? "unseen" : undefined}>
        {label}
        <span class="unseen">, {unit}</span>
      </label>
      <div
        class={upright ? "number number-upright" : "number"}
        style={{ "--figures": Math.max(2, (text || textOf(offered)).length) }}
      >
        <button type="button" aria-label={labels.parts.less(label)} {...less}>
          −
        </button>
        <div class="number-value">
          {min < 0 && (
            <button type="button" class="number-sign" aria-label={labels.parts.sign(label)} onClick={flip}>
              ±
            </button>
          )}
          <input
            id={id}
            type="text"
            inputMode="decimal"
            enterkeyhint={onEnter ? "go" : "done"}
            autocomplete="off"
            value={text}
            placeholder={textOf(offered)}
            aria-invalid={problem ? "true" : undefined}
            aria-describedby={described || undefined}
            onInput={(event) => typed(event.currentTarget.value)}
            onBlur={() => setChecked(true)}
            onKeyDown={(event) => {
              if (event.key === "ArrowUp" || event.key === "ArrowDown") {
                event.preventDefault();
                change(event.key === "ArrowUp" ? 1 : -1);
              }
              if (event.key !== "Enter") return;
              event.currentTarget.blur();
              if (latest.current !== null) onEnter?.();
            }}
          />
          <span class="number-unit" aria-hidden="true">
            {unit}
          </span>
        </div>
        <button type="button" aria-label={labels.parts.more(label)} {...more}>
          +
        </button>
      </div>
      {hint && (
        <p class="hint" id={`${id}h`}>
          {hint}
        </p>
      )}
      {problem && (
        <p class="fault" id={`${id}f`} role="alert">
          {problem}
        </p>
      )}
    </div>
  );
}

function limitFault(number: number | null, min: number, max: number, unit: string): string | undefined {
  if (number === null) return undefined;
  if (Number.isNaN(number)) return labels.parts.notANumber;
  if (number < min) return labels.parts.tooLow(`${textOf(min)} ${unit}`);
  if (number > max) return labels.parts.tooHigh(`${textOf(max)} ${unit}`);
  return undefined;
}
