/** How this tube reads compared with the tubes of others who tested at the same sources. */

import { labels } from "../../i18n";
import { day, number } from "../../i18n/format";
import { useStored } from "../../state/hooks";
import { type Comparison, comparedToOthers } from "../../store/priors";

export function Compared({ tube }: { tube: string }) {
  const words = labels.tubes.compared;
  const found = useStored(() => comparedToOthers(tube), ["figures", "settings"], [tube]);
  if (!found) return null;
  return (
    <section class="leaf">
      <h2>{words.title}</h2>
      <p class={found.verdict === "agrees" ? undefined : "warning"}>{sentence(found)}</p>
      {found.learned_at && <p class="hint">{words.by[found.by](day(found.learned_at))}</p>}
      <p class="hint">{words.hint}</p>
    </section>
  );
}

function sentence({ offset, expanded_uncertainty, verdict, sources }: Comparison): string {
  const words = labels.tubes.compared;
  const [points, half] = [number(Math.abs(offset), 1), number(expanded_uncertainty, 1)];
  return words[verdict](points, half, sources);
}
