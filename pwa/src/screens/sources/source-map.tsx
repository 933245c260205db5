/** Sources on a map that can be moved and zoomed, and below it the same ones as a list with the same numbers. */

import "leaflet/dist/leaflet.css";
import "./source-map.css";
import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import type { Point } from "../../geo/position";
import { labels } from "../../i18n";
import { count, interval, number } from "../../i18n/format";
import type { FiguresRow } from "../../rows/source";
import { useNow, useStored } from "../../state/hooks";
import { go } from "../../state/router";
import { mapsLeft, settings, whereabouts } from "../../state/signals";
import { listOutlines } from "../../store/outlines";
import { readFact } from "../../store/settings";
import { MapView, type Mark } from "./map-view";
import { renewPageFor } from "./renew-page";
import { SourceLine } from "./source-line";

/** Marks at a time: as many as a phone can draw at once. */
const PAGE = 100;

export type Placed = FiguresRow & Point;

export interface SourceMapProps {
  /** In the order of their numbers. */
  sources: readonly Placed[];
  /** The map opens so that these are visible. */
  around: readonly Point[];
  /** Name of this map, to restore its last view. */
  name: string;
}

export default function SourceMap({ sources, around, name }: SourceMapProps) {
  const words = labels.sources.map;
  const [most, setMost] = useState(PAGE);
  const now = useNow(60_000);
  const shown = useMemo(() => sources.slice(0, most), [sources, most]);
  const tiles = useStored(() => readFact("tiles"), ["settings"]) ?? null;
  const rest = sources.length - shown.length;
  return (
    <>
      <figure class="map">
        <MapBox shown={shown} around={around} name={name} tiles={tiles} />
        {tiles !== null && <figcaption class="hint">{tiles.attribution}</figcaption>}
      </figure>
      <p class="hint">{words.hint}</p>
      <ol class="row-list numbered">
        {shown.map((row, index) => (
          <li key={row.source}>
            <span class="rank" aria-hidden="true">
              {index + 1}
            </span>
            <SourceLine row={row} now={now} />
          </li>
        ))}
      </ol>
      {rest > 0 && (
        <button type="button" onClick={() => setMost(most + PAGE)}>
          {labels.sources.more(number(rest, 0))}
        </button>
      )}
    </>
  );
}

interface MapBoxProps extends Omit<SourceMapProps, "sources"> {
  shown: readonly Placed[];
  tiles: { address: string; attribution: string } | null;
}

function MapBox({ shown, around, name, tiles }: MapBoxProps) {
  const list = labels.sources;
  const box = useRef<HTMLElement>(null);
  const view = useRef<MapView | null>(null);
  const outlines = useStored(listOutlines, ["outlines"]);
  const here = whereabouts.value;
  const isMetric = settings.value.distance_unit === "km";
  const address = tiles?.address;
  useEffect(() => {
    const made = new MapView(box.current as HTMLElement, isMetric, (source) => go(["source", source]));
    view.current = made;
    return () => {
      const left = made.remove();
      if (left) mapsLeft.value = { ...mapsLeft.peek(), [name]: left };
    };
  }, [name, isMetric]);
  useEffect(() => {
    view.current?.showTiles(tiles);
    return tiles === null ? undefined : renewPageFor(new URL(tiles.address).origin);
  }, [address, name, isMetric]);
  useEffect(() => {
    view.current?.place(around, mapsLeft.peek()[name]);
    if (outlines !== undefined) view.current?.draw({ marks: shown.map(markOf), outlines, here });
  }, [shown, outlines, here, around, name, isMetric]);
  return (
    <section
      ref={box}
      class="map-box"
      aria-label={list.map.name(count(shown.length, list.map.source, list.map.sources))}
    />
  );
}

function markOf({ source, name, pump, latitude, longitude, figures }: Placed, index: number): Mark {
  const content = figures === null ? labels.sources.map.untested : interval(figures.typical_interval);
  return { source, latitude, longitude, number: index + 1, name: pump ? `${name}, ${pump}` : name, content };
}
