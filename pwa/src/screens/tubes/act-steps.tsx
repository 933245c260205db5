/** Instructions for manual work, step by step. */

export function ActSteps({ of }: { of: readonly string[] }) {
  return (
    <ol class="acts">
      {of.map((step) => (
        <li key={step}>
          <span>{step}</span>
        </li>
      ))}
    </ol>
  );
}
