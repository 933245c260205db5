/** On the page of the person's own source: the server's objections, or that a change waits. */

import { labels } from "../../i18n";
import type { SourceRow } from "../../rows/source";
import { remarkText } from "../shared/record-words";
import { remarksOn } from "../shared/source/remarks";

export function SourceRemarks({ source }: { source: SourceRow }) {
  const remarks = remarksOn(source);
  if (remarks.length === 0) return null;
  return (
    <section class="leaf" aria-labelledby="remarks">
      <h2 id="remarks">{labels.log.page.serverSays}</h2>
      {remarks.map((problem) => (
        <p key={problem.code + problem.field}>{remarkText(problem)}</p>
      ))}
    </section>
  );
}
