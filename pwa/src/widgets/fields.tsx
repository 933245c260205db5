/** The basic fields: a line of text, a choice from a long list, a switch. */

import type { ComponentChildren } from "preact";
import { useId } from "preact/hooks";

export interface TextFieldProps {
  label: string;
  value: string;
  onValue: (value: string) => void;
  maxLength: number;
  hint?: string | undefined;
  fault?: string | undefined;
  lines?: boolean;
  type?: "text" | "search" | "date" | "datetime-local";
  placeholder?: string;
}

export function TextField(props: TextFieldProps) {
  const { label, value, onValue, maxLength, hint, fault, lines, type = "text", placeholder } = props;
  const id = useId();
  const shared = {
    id,
    value,
    placeholder,
    maxLength,
    autocomplete: "off" as const,
    "aria-invalid": fault ? ("true" as const) : undefined,
    "aria-describedby": [hint && `${id}h`, fault && `${id}f`].filter(Boolean).join(" ") || undefined,
  };
  return (
    <div class="field">
      <label for={id}>{label}</label>
      {lines ? (
        <textarea {...shared} rows={3} onInput={(event) => onValue(event.currentTarget.value)} />
      ) : (
        <input {...shared} type={type as "text"} onInput={(event) => onValue(event.currentTarget.value)} />
      )}
      <Notes id={id} hint={hint} fault={fault} />
    </div>
  );
}

export interface SelectFieldProps {
  label: string;
  value: string;
  onValue: (value: string) => void;
  options: readonly { value: string; label: string }[];
  hint?: string | undefined;
}

export function SelectField({ label, value, onValue, options, hint }: SelectFieldProps) {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <select id={id} value={value} onChange={(event) => onValue(event.currentTarget.value)}>
        {options.map((option) => (
          <option key={option.value} value={option.value} selected={option.value === value}>
            {option.label}
          </option>
        ))}
      </select>
      <Notes id={id} hint={hint} fault={undefined} />
    </div>
  );
}

export interface SwitchFieldProps {
  label: ComponentChildren;
  checked: boolean;
  onChecked: (checked: boolean) => void;
  hint?: ComponentChildren;
}

export function SwitchField({ label, checked, onChecked, hint }: SwitchFieldProps) {
  return (
    <label class="switch">
      <input type="checkbox" checked={checked} onChange={(event) => onChecked(event.currentTarget.checked)} />
      <span>
        {label}
        {hint && <small>{hint}</small>}
      </span>
    </label>
  );
}

function Notes({ id, hint, fault }: { id: string; hint: string | undefined; fault: string | undefined }) {
  return (
    <>
      {hint && (
        <p class="hint" id={`${id}h`}>
          {hint}
        </p>
      )}
      {fault && (
        <p class="fault" id={`${id}f`} role="alert">
          {fault}
        </p>
      )}
    </>
  );
}
