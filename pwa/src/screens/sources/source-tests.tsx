/** All tests at a source, newest first, a page at a time. */

import { useState } from "preact/hooks";
import { labels } from "../../i18n";
import { day, inLine, number } from "../../i18n/format";
import type { SourceTest } from "../../store/sources";
import { Reading } from "../../widgets/reading";
import { TubeGlyph } from "../../widgets/tube-glyph";
import { TestPhotos } from "./test-photos";

const PAGE = 20;

export function SourceTests({ tests }: { tests: readonly SourceTest[] }) {
  const words = labels.sources;
  const [most, setMost] = useState(PAGE);
  const rest = tests.length - most;
  return (
    <section class="leaf" aria-labelledby="tests">
      <h2 id="tests">{words.page.list}</h2>
      <ol class="row-list">
        {tests.slice(0, most).map((test) => (
          <li key={test.id} class="row">
            <TubeGlyph content={test.content} uncertainty={test.expanded_uncertainty} silent />
            <div class="row-main">
              <Reading content={test.content} uncertainty={test.expanded_uncertainty} />
              <p class="row-note">{testNote(test)}</p>
              {test.note && <p class="row-note">{test.note}</p>}
              <TestPhotos digests={test.photos} />
            </div>
            <p class="row-end row-note">{day(test.sampled_at)}</p>
          </li>
        ))}
      </ol>
      {rest > 0 && (
        <button type="button" onClick={() => setMost(most + PAGE)}>
          {words.more(number(rest, 0))}
        </button>
      )}
    </section>
  );
}

/** Where the sample came from, whose test it is, and whether it counts. */
export function testNote(test: SourceTest): string {
  const words = labels.sources.page;
  return inLine([
    words.sampled[test.sampled],
    test.own && words.own,
    !test.counted && words.notCounted,
    test.wrong && words.wrong,
    test.counted && !test.weighed && words.notWeighed,
  ]);
}
