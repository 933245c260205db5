/** The map itself, by Leaflet: outlines of regions, a mark for each source, and map tiles if the server has some. */

import {
  circle,
  control,
  divIcon,
  geoJSON,
  LayerGroup,
  Map as LeafletMap,
  latLngBounds,
  marker,
  type TileLayer,
  tileLayer,
} from "leaflet";
import type { Point } from "../../geo/position";
import { labels } from "../../i18n";
import type { Tiles } from "../../records";
import type { OutlineRow } from "../../rows/outline";
import type { Position } from "../../rows/settings";
import type { MapLeft } from "../../state/signals";
import { visibleLabels } from "./crowd";

export interface Mark extends Point {
  source: string;
  number: number;
  name: string;
  /** The content, in short. */
  content: string;
}

export interface MapContent {
  marks: readonly Mark[];
  outlines: readonly OutlineRow[];
  here: Position | null;
}

/** The closest zoom for a single place. */
const NEAR = 11;
const FARTHEST_ZOOM = 2;
const NEAREST_ZOOM = 18;
/** In Leaflet's order of markers: below every source's mark. */
const BEHIND = -1e7;
/** Half of a mark, px. */
const HALF = 18;

export class MapView {
  readonly #map: LeafletMap;
  readonly #drawn = new LayerGroup();
  readonly #box: HTMLElement;
  #tiles: TileLayer | null = null;
  #isPlaced = false;

  constructor(
    box: HTMLElement,
    isMetric: boolean,
    readonly onOpen: (source: string) => void,
  ) {
    const words = labels.sources.map;
    const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
    this.#box = box;
    this.#map = new LeafletMap(box, {
      zoomControl: false,
      attributionControl: false,
      minZoom: FARTHEST_ZOOM,
      maxZoom: NEAREST_ZOOM,
      zoomAnimation: !calm,
      fadeAnimation: !calm,
      markerZoomAnimation: !calm,
      inertia: !calm,
      center: [0, 0],
      zoom: FARTHEST_ZOOM,
      layers: [this.#drawn],
    });
    control.zoom({ zoomInTitle: words.zoomIn, zoomOutTitle: words.zoomOut }).addTo(this.#map);
    control.scale({ metric: isMetric, imperial: !isMetric }).addTo(this.#map);
    this.#map.on("moveend", () => this.#tidy());
  }

  /** Where the map opens: its last view, else one that contains all of these points. */
  place(around: readonly Point[], before: MapLeft | undefined): void {
    if (this.#isPlaced) return;
    if (before) this.#map.setView(at(before), before.zoom, { animate: false });
    else if (around.length > 0) {
      const bounds = latLngBounds(around.map(at));
      this.#map.fitBounds(bounds, { padding: [HALF * 2, HALF * 2], maxZoom: NEAR, animate: false });
    }
    this.#isPlaced = before !== undefined || around.length > 0;
  }

  draw({ marks, outlines, here }: MapContent): void {
    const focused = (document.activeElement as HTMLElement | null)?.dataset.source;
    this.#drawn.clearLayers();
    for (const row of outlines) this.#outline(row);
    if (here !== null) this.#here(here);
    for (const mark of marks) this.#mark(mark);
    this.#tidy();
    if (focused) this.#box.querySelector<HTMLElement>(`[data-source="${CSS.escape(focused)}"]`)?.focus();
  }

  /** Tiles of a real map while there is a signal; they cover what is drawn without one. */
  showTiles(tiles: Tiles | null): void {
    this.#tiles?.remove();
    this.#box.classList.remove("map-tiled");
    if (tiles === null) return;
    // The page allows only images whose server permits it (CORS). Some tile servers require the app's origin.
    const options = { crossOrigin: "anonymous", referrerPolicy: "strict-origin", maxZoom: NEAREST_ZOOM } as const;
    this.#tiles = tileLayer(tiles.address, options).addTo(this.#map);
    this.#tiles.on("tileload", () => this.#box.classList.add("map-tiled"));
  }

  /** Gives how the map is left; undefined where it was never opened on anything. */
  remove(): MapLeft | undefined {
    const { lat: latitude, lng: longitude } = this.#map.getCenter();
    const left = { latitude, longitude, zoom: this.#map.getZoom() };
    this.#map.remove();
    return this.#isPlaced ? left : undefined;
  }

  #outline({ name, geometry }: OutlineRow): void {
    if (geometry === null) return;
    const drawn = geoJSON(geometry as GeoJSON.MultiPolygon, {
      interactive: false,
      style: { className: "map-outline" },
    });
    this.#drawn.addLayer(drawn);
    const icon = divIcon({ className: "map-region", iconSize: [0, 0], html: written("span", "map-writing", name) });
    const middle = drawn.getBounds().getCenter();
    this.#drawn.addLayer(marker(middle, { icon, interactive: false, keyboard: false, zIndexOffset: BEHIND }));
  }

  #here(here: Position): void {
    const point = at(here);
    if (here.accuracy !== null) {
      this.#drawn.addLayer(circle(point, { radius: here.accuracy, interactive: false, className: "map-near" }));
    }
    const dot = written("span", "map-here", "");
    dot.setAttribute("role", "img");
    dot.setAttribute("aria-label", labels.sources.map.here);
    const icon = divIcon({ className: "", iconSize: [0, 0], html: dot });
    this.#drawn.addLayer(marker(point, { icon, interactive: false, keyboard: false, zIndexOffset: BEHIND / 2 }));
  }

  /** Leaflet distinguishes a tap from the end of a drag; the button is native, for keyboards and screen readers. */
  #mark(mark: Mark): void {
    const words = labels.sources.map;
    const button = document.createElement("button");
    button.type = "button";
    button.className = "map-mark";
    button.dataset.source = mark.source;
    button.setAttribute("aria-label", words.mark(String(mark.number), mark.name, mark.content));
    // With spaces, so that it is read out as it looks.
    button.append(written("span", "map-number", String(mark.number)), " ");
    const writing = written("span", "map-writing", "");
    writing.append(written("span", "map-name", mark.name), " ", written("span", "map-content", mark.content));
    button.append(writing);
    const icon = divIcon({ className: "", iconSize: [0, 0], html: button });
    const drawn = marker(at(mark), { icon, keyboard: false, zIndexOffset: -1000 * mark.number });
    this.#drawn.addLayer(drawn.on("click", () => this.onOpen(mark.source)));
  }

  /** Puts labels that the right edge would cut to the left of their marks, and hides those that have no space. */
  #tidy(): void {
    const found = (name: string) => [...this.#box.querySelectorAll<HTMLElement>(name)];
    const edge = this.#box.getBoundingClientRect().right;
    for (const one of found(".map-mark .map-writing")) {
      one.classList.remove("map-left");
      const { left, right } = one.getBoundingClientRect();
      one.classList.toggle("map-left", left - HALF < edge && right > edge);
    }
    const writings = [...found(".map-mark:enabled .map-writing"), ...found(".map-region .map-writing")];
    // A mark covered by another one cannot be tapped: it waits until the map is zoomed in, and is in the list below.
    const buttons = [...this.#box.querySelectorAll<HTMLButtonElement>(".map-mark")];
    const open = visibleLabels(
      buttons.map((one) => one.getBoundingClientRect()),
      [],
    );
    buttons.forEach((one, index) => {
      one.disabled = !open[index];
    });
    const marks = found(".map-mark:enabled .map-number").map((one) => one.getBoundingClientRect());
    const free = visibleLabels(
      writings.map((one) => one.getBoundingClientRect()),
      marks,
    );
    writings.forEach((one, index) => {
      one.classList.toggle("map-hidden", !free[index]);
    });
  }
}

function at({ latitude, longitude }: Point): [number, number] {
  return [latitude, longitude];
}

function written(tag: string, name: string, text: string): HTMLElement {
  const made = document.createElement(tag);
  made.className = name;
  made.textContent = text;
  return made;
}
