/** How a result came about, from the line as read to the content: one change after the other. */

import { useId } from "preact/hooks";

export interface StepsListProps {
  title: string;
  steps: readonly { name: string; value: string; total?: boolean }[];
}

export function StepsList({ title, steps }: StepsListProps) {
  const id = useId();
  return (
    <section class="steps" aria-labelledby={id}>
      <h3 id={id}>{title}</h3>
      <ol>
        {steps.map((step) => (
          <li key={step.name} class={step.total ? "steps-total" : undefined}>
            <span>{step.name}</span>
            <span class="figure">{step.value}</span>
          </li>
        ))}
      </ol>
    </section>
  );
}
