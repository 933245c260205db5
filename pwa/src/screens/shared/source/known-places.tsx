/** While a source is added: sources that may be the same place, so that it is not entered twice. */

import { may_be_one, type Place } from "../../../checking/places";
import { distance_km, isSomewhere } from "../../../geo/position";
import { labels } from "../../../i18n";
import { inLine } from "../../../i18n/format";
import type { FiguresRow } from "../../../rows/source";
import { useStored } from "../../../state/hooks";
import { usePage } from "../../../state/page";
import { to } from "../../../state/router";
import { away } from "./away";

export function KnownPlaces({ place, except }: { place: Place; except: string | undefined }) {
  const words = labels.sourceForm;
  const rows = useStored(usePage().figures.read, ["figures"]);
  const found = knownAt(place, rows ?? []).filter((row) => row.source !== except);
  if (found.length === 0) return null;
  return (
    <section class="leaf" aria-labelledby="known" role="status">
      <div>
        <h2 id="known">{words.known}</h2>
        <p class="hint">{words.knownHint}</p>
      </div>
      <ul class="row-list">
        {found.map((row) => (
          <li key={row.source}>
            <a class="row known-place" href={to("source", row.source)}>
              <span class="row-main">
                <span class="row-name">{inLine([row.name, row.pump])}</span>
              </span>
              <span class="row-end row-note">{away(place, row)}</span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** The sources that may be this place, nearest first. */
export function knownAt(place: Place, rows: readonly FiguresRow[]): (FiguresRow & Place)[] {
  return rows
    .filter(isSomewhere)
    .filter((row) => may_be_one(place, row))
    .sort((a, b) => distance_km(place, a) - distance_km(place, b));
}
