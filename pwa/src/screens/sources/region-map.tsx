/** A map of a region's sources. */

import { useMemo } from "preact/hooks";
import type { Point } from "../../geo/position";
import { labels } from "../../i18n";
import { rank } from "../../model/ranking";
import { useStored } from "../../state/hooks";
import { usePage } from "../../state/page";
import { whereabouts } from "../../state/signals";
import { readOutline } from "../../store/outlines";
import { placed, SourceMap } from "./map-page";

export function RegionMap({ code }: { code: string }) {
  const rows = useStored(usePage().figures.read, ["figures"]);
  const read = useStored(async () => ({ outline: await readOutline(code) }), ["outlines"], [code]);
  const here = whereabouts.value;
  const sources = useMemo(() => {
    const inside = (rows ?? []).filter((row) => row.region === code);
    return placed(rank(inside, "steadiest", here));
  }, [rows, code, here]);
  const around = useMemo((): readonly Point[] => {
    const corners = read?.outline?.geometry?.coordinates.flat(2) ?? [];
    return [...sources, ...corners.map(([longitude = 0, latitude = 0]) => ({ latitude, longitude }))];
  }, [sources, read]);
  if (rows === undefined || read === undefined || around.length === 0) return null;
  return (
    <section class="leaf" aria-labelledby="map">
      <h2 id="map">{labels.sources.map.heading}</h2>
      <SourceMap name={code} sources={sources} around={around} />
    </section>
  );
}
