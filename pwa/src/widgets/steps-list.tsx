/** How a result was computed, from the line as read to the content: one correction after the other. */

export interface StepsListProps {
  title: string;
  /** The heading is already above. */
  bare?: boolean;
  steps: readonly Step[];
}

export interface Step {
  name: string;
  value: string;
  total?: boolean;
  /** The label of this step in the picture beside the list. */
  letter?: string;
}

export function StepsList({ title, bare, steps }: StepsListProps) {
  const list = (
    <ol>
      {steps.map((step) => (
        <li key={step.name} class={step.total ? "steps-total" : undefined}>
          <span>
            {step.letter && (
              <b class="letter" aria-hidden="true">
                {step.letter}
              </b>
            )}
            {step.name}
          </span>
          <span class="figure">{step.value}</span>
        </li>
      ))}
    </ol>
  );
  if (bare) return <div class="steps">{list}</div>;
  return (
    <section class="steps" aria-label={title}>
      <h3>{title}</h3>
      {list}
    </section>
  );
}
