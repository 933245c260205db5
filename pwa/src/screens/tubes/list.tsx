/** All the person's own tubes. */

import { labels } from "../../i18n";
import { mL } from "../../i18n/format";
import type { TubeRow } from "../../rows/tube";
import { useStored } from "../../state/hooks";
import { to } from "../../state/router";
import { listTubes } from "../../store/tubes";
import { chosen } from "../../widgets/side-by-side";
import { Waiting } from "../../widgets/waiting";

export function Tubes() {
  const words = labels.tubes;
  const tubes = useStored(listTubes, ["tubes"]);
  return (
    <div class="form">
      <header class="head">
        <h1>{words.title}</h1>
        <p class="quiet">{words.lead}</p>
      </header>
      {tubes === undefined && <Waiting word={labels.common.opening} />}
      {tubes?.length === 0 && <p>{words.none}</p>}
      {tubes !== undefined && tubes.length > 0 && (
        <ul class="row-list">
          {tubes.map((tube) => (
            <li key={tube.id}>
              <TubeLine tube={tube} />
            </li>
          ))}
        </ul>
      )}
      <div class="buttons">
        <a class="button" href={to("tubes", "new")}>
          {words.add}
        </a>
        <a class="button plain" href={to("log")}>
          {labels.common.back}
        </a>
      </div>
    </div>
  );
}

function TubeLine({ tube }: { tube: TubeRow }) {
  const words = labels.tubes;
  return (
    <a class="row row-without-mark" href={to("tubes", tube.id)} {...chosen("tubes", tube.id)}>
      <span class="row-main">
        <span class="row-name">{tube.name}</span>
        <span class="row-note">
          {words.mark(labels.scales[tube.scale].label, mL(tube.water_mark, 0), mL(tube.fuel_mark, 0))}
        </span>
      </span>
      <span class="row-end row-note">{tube.put_away ? words.putAway : words.inUse}</span>
    </a>
  );
}
