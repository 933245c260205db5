/** The person's own sources to which the server objects, or whose change waits: shown in the log, too. */

import { labels } from "../../i18n";
import { inLine } from "../../i18n/format";
import { useStored } from "../../state/hooks";
import { to } from "../../state/router";
import { listSources } from "../../store/sources";
import { remarkText } from "../shared/record-words";
import { remarksOn } from "../shared/source/remarks";

export function OwnSources() {
  const all = useStored(listSources, ["sources"], []);
  const shown = (all ?? []).filter((source) => remarksOn(source).length > 0);
  if (shown.length === 0) return null;
  return (
    <section class="leaf" aria-labelledby="own-sources">
      <h2 id="own-sources">{labels.log.ownSources}</h2>
      <ul class="row-list">
        {shown.map((source) => (
          <li key={source.id}>
            <a class="row" href={to("source", source.id)}>
              <span class="row-main">
                <span class="row-name">{inLine([source.name, source.pump])}</span>
                {remarksOn(source).map((problem) => (
                  <span key={problem.code + problem.field} class="row-note">
                    {remarkText(problem)}
                  </span>
                ))}
              </span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}
