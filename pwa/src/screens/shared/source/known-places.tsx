/** While a source is added: sources that may be the same place, so that it is not entered twice. */

import { may_be_one, type Place } from "../../../checking/places";
import { bearing_deg, distance_km } from "../../../geo/position";
import { labels } from "../../../i18n";
import { bearing, distance, inLine } from "../../../i18n/format";
import type { FiguresRow } from "../../../rows/source";
import { useStored } from "../../../state/hooks";
import { usePage } from "../../../state/page";
import { to } from "../../../state/router";
import { settings } from "../../../state/signals";

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
              <span class="row-end row-note">
                {labels.format.away(
                  distance(distance_km(place, row), settings.value),
                  bearing(bearing_deg(place, row)),
                )}
              </span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}

type Known = FiguresRow & Place;

/** The sources that may be this place, nearest first. */
export function knownAt(place: Place, rows: readonly FiguresRow[]): Known[] {
  return rows
    .filter((row): row is Known => row.latitude !== null && row.longitude !== null)
    .filter((row) => may_be_one(place, row))
    .sort((a, b) => distance_km(place, a) - distance_km(place, b));
}
