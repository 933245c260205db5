/** The result of a test that this version cannot compute: the figures it came with, and why there are no others. */

import { labels } from "../../i18n";
import type { SealedTest } from "../../rows/test";
import { Reading } from "../../widgets/reading";
import { TubeGlyph } from "../../widgets/tube-glyph";

export function LaterResult({ test: { content, expanded_uncertainty } }: { test: SealedTest }) {
  const words = labels.result;
  return (
    <section class="result" aria-label={words.title}>
      <div class="result-main">
        <TubeGlyph content={content} uncertainty={expanded_uncertainty} size="large" scale silent />
        <div>
          <h2>{words.title}</h2>
          <p class="quiet">{words.content}</p>
          <Reading content={content} uncertainty={expanded_uncertainty} size="large" />
        </div>
      </div>
      <p class="warning">
        <span>{labels.log.page.laterTube}</span>
      </p>
    </section>
  );
}
