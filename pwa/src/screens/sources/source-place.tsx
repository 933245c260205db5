/** A source's position, and the notes of whoever added it. */

import { bearing_deg, distance_km } from "../../geo/position";
import { labels } from "../../i18n";
import { bearing, coordinates, distance } from "../../i18n/format";
import type { SourceRow } from "../../rows/source";
import { to } from "../../state/router";
import { settings, whereabouts } from "../../state/signals";
import { useRegionName } from "../shared/source/region-name";

export function SourcePlace({ source }: { source: SourceRow }) {
  const words = labels.sources.page;
  const { latitude, longitude } = source;
  const point = latitude === null || longitude === null ? null : { latitude, longitude };
  const here = whereabouts.value;
  return (
    <section class="leaf" aria-labelledby="place">
      <h2 id="place">{words.position}</h2>
      {point === null ? (
        <p>{words.positionLater}</p>
      ) : (
        <>
          <p class="figure">{coordinates(point.latitude, point.longitude)}</p>
          {here && (
            <p>
              {words.distance(distance(distance_km(here, point), settings.value), bearing(bearing_deg(here, point)))}
            </p>
          )}
          <a class="button" href={`geo:${point.latitude},${point.longitude}?q=${point.latitude},${point.longitude}`}>
            {words.openMap}
          </a>
        </>
      )}
      {source.region && (
        <a class="button" href={to("region", source.region)}>
          <RegionLine code={source.region} />
        </a>
      )}
      {source.notes && (
        <div>
          <h3>{words.notes}</h3>
          <p>{source.notes}</p>
        </div>
      )}
    </section>
  );
}

function RegionLine({ code }: { code: string }) {
  return <>{labels.sources.page.regionOpen(useRegionName(code))}</>;
}
