/** Names and values, one pair per line. */

import type { ComponentChildren } from "preact";

export function Pairs({ of }: { of: readonly (readonly [name: string, value: ComponentChildren])[] }) {
  return (
    <dl class="pairs">
      {of.map(([name, value]) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd>{value}</dd>
        </div>
      ))}
    </dl>
  );
}
