/** All sources of the list on a map: in the list's order, with its filters. */

import { useMemo } from "preact/hooks";
import { distance_km, isSomewhere, type Point } from "../../geo/position";
import { labels } from "../../i18n";
import { NO_FILTERS, passes } from "../../model/filters";
import { type Ranking, rank, sorted } from "../../model/ranking";
import { useStored } from "../../state/hooks";
import { usePage } from "../../state/page";
import { to } from "../../state/router";
import { listChoice, settings, whereabouts } from "../../state/signals";
import { lazy } from "../../widgets/lazy";
import { Waiting } from "../../widgets/waiting";
import type { Placed, SourceMapProps } from "./source-map";

export const SourceMap = lazy<SourceMapProps>(() => import("./source-map"));

/** The map's initial range if the phone knows its position: km from here, and number of sources. */
const AROUND_HERE = 150;
const NEAREST = 8;

export function MapPage() {
  const words = labels.sources;
  const rows = useStored(usePage().figures.read, ["figures"]);
  const here = whereabouts.value;
  const kept = listChoice.value;
  const { own_minimum } = settings.value;
  const sources = useMemo(() => {
    const { order, filters } = kept ?? { order: "steadiest", filters: NO_FILTERS };
    const looking = { here, minimum: own_minimum, now: new Date() };
    const shown = (rows ?? []).filter((row) => passes(row, filters, looking));
    return placed(rank(shown, order, here));
  }, [rows, kept, here, own_minimum]);
  const around = useMemo(() => aroundHere(sources, here), [sources, here]);
  return (
    <article class="source">
      <p>
        <a class="button plain" href={to("sources")}>
          {words.page.back}
        </a>
      </p>
      <h1>{words.map.title}</h1>
      {rows === undefined || kept === undefined ? (
        <Waiting word={words.loading} />
      ) : sources.length === 0 ? (
        <p role="status">{words.map.none}</p>
      ) : (
        <SourceMap name="all" sources={sources} around={around} />
      )}
    </article>
  );
}

/** In the order of the list: the tested ones, then the untested ones; without sources of unknown position. */
export function placed({ ranked, unsampled }: Ranking): Placed[] {
  return [...ranked, ...unsampled].filter(isSomewhere);
}

/** The nearest sources and here, or all if none is near. */
function aroundHere(sources: readonly Placed[], here: Point | null): readonly Point[] {
  if (here === null) return sources;
  const near = sources.filter((row) => distance_km(here, row) <= AROUND_HERE);
  if (near.length === 0) return sources;
  return [here, ...sorted(near, (row) => distance_km(here, row)).slice(0, NEAREST)];
}
