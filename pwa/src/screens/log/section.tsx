/** A group of settings with its title. */

import type { ComponentChildren } from "preact";

export function Section({ title, children }: { title: string; children: ComponentChildren }) {
  return (
    <section class="leaf">
      <h2>{title}</h2>
      {children}
    </section>
  );
}
