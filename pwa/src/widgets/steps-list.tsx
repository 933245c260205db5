/** How a result came about, from the line as read to the content: one change after the other. */

export interface StepsListProps {
  title: string;
  /** The heading stands above already. */
  bare?: boolean;
  steps: readonly Step[];
}

export interface Step {
  name: string;
  value: string;
  total?: boolean;
  /** By which a picture beside the list names it. */
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
