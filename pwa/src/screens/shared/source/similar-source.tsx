/** On the page of the person's own source: another one that may be the same place, with a link. */

import { labels } from "../../../i18n";
import { inLine } from "../../../i18n/format";
import type { SourceRow } from "../../../rows/source";
import { useStored } from "../../../state/hooks";
import { to } from "../../../state/router";
import { readSource } from "../../../store/sources";
import { similarTo } from "./similar";

export function SimilarSource({ source }: { source: SourceRow }) {
  const words = labels.sources.page;
  const id = similarTo(source);
  const other = useStored(
    async () => (id === null ? undefined : (await readSource(id))?.source),
    ["sources", "merged"],
    [id],
  );
  // Once the two are merged, the other one is this one.
  if (other === undefined || other.id === source.id) return null;
  return (
    <section class="leaf" aria-labelledby="similar">
      <h2 id="similar">{words.similar}</h2>
      <p>{words.similarHint}</p>
      <a class="button" href={to("source", other.id)}>
        {words.similarOpen(inLine([other.name, other.pump]))}
      </a>
    </section>
  );
}
