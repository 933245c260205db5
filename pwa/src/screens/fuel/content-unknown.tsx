/** What stands where a question about the tank needs its content, and nobody has said it yet. */

import type { ComponentChildren } from "preact";
import { labels } from "../../labels";
import { to } from "../../router";

/** children: other ways to it than by entering what is in the tank. */
export function ContentUnknown({ title, children }: { title: string; children?: ComponentChildren }) {
  return (
    <div class="form">
      <header class="head">
        <h1>{title}</h1>
      </header>
      <p>{labels.fuel.tank.contentUnknown}</p>
      <div class="buttons">
        <a class="button" href={to("fuel", "tank")}>
          {labels.fuel.tank.enter}
        </a>
        {children}
        <a class="button plain" href={to("fuel")}>
          {labels.fuel.back}
        </a>
      </div>
    </div>
  );
}
