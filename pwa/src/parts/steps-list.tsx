/** How a result came about, from the line as read to the content: one change after the other. */

export interface StepsListProps {
  title: string;
  /** The heading stands above already. */
  bare?: boolean;
  steps: readonly { name: string; value: string; total?: boolean; letter?: string }[];
}

export function StepsList({ title, bare, steps }: StepsListProps) {
  return (
    <section class="steps" aria-label={title}>
      {!bare && <h3>{title}</h3>}
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
    </section>
  );
}
