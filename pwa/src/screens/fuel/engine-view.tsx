/** The engine's figures at the tank's content or any other. */

import { useState } from "preact/hooks";
import { labels } from "../../i18n";
import type { Tank } from "../../rows/vehicle";
import { to } from "../../state/router";
import { ContentFields } from "./content-fields";
import { EngineFigures } from "./engine-list";

export function EngineView({ tank }: { tank: Tank | undefined }) {
  const words = labels.fuel.engine;
  const [content, setContent] = useState(tank?.content ?? null);
  const [uncertainty, setUncertainty] = useState(tank?.expanded_uncertainty ?? null);
  return (
    <div class="form">
      <header class="head">
        <h1>{words.title}</h1>
      </header>
      <ContentFields
        content={content}
        uncertainty={uncertainty}
        onContent={setContent}
        onUncertainty={setUncertainty}
        tried
      />
      {content !== null && uncertainty !== null && (
        <section class="field" aria-label={words.title}>
          <EngineFigures content={content} uncertainty={uncertainty} />
        </section>
      )}
      <a class="button plain" href={to("fuel")}>
        {labels.fuel.back}
      </a>
    </div>
  );
}
