/** Near a border the server asks in which region the person's own source is; the answer is a new revision. */

import { useState } from "preact/hooks";
import { labels } from "../../i18n";
import type { SourceRow } from "../../rows/source";
import { editSource } from "../../store/sources";
import { candidatesOf } from "../shared/source/region-candidates";
import { RegionName, useRegionName } from "../shared/source/region-name";

export function RegionChoice({ source }: { source: SourceRow }) {
  const words = labels.sources.page;
  const [answered, setAnswered] = useState(false);
  const candidates = candidatesOf(source);
  const [taken] = candidates;
  const name = useRegionName(taken ?? "");
  if (taken === undefined) return null;
  const answer = (subdivision: string) => {
    setAnswered(true);
    void editSource(source.id, { subdivision }).finally(() => setAnswered(false));
  };
  return (
    <section class="leaf" aria-labelledby="region">
      <h2 id="region">{words.region}</h2>
      <p>{words.regionAsk(name)}</p>
      <div class="buttons">
        {candidates.map((code) => (
          <button key={code} type="button" disabled={answered} onClick={() => answer(code)}>
            <RegionName code={code} />
          </button>
        ))}
      </div>
      <p class="hint">{words.regionHint}</p>
    </section>
  );
}
