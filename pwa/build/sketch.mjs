/**
 * Makes what the phone knows of regions: their names, and what it draws them from.
 *
 * The world's subdivisions from Natural Earth, each border simplified once for both neighbours, by the smaller of the
 * two: a corner goes when its triangle is below a share of that region's area, so that every region keeps about as many
 * corners whatever its size. Islands and holes below a share of the largest part are left out, and so are regions
 * below a few kilometres across, of which the grid would leave nothing. That makes about 126 kB (gzip); nine in ten of the
 * places in fixtures/places.csv are inside their region (tests/pwa/sketch.test.ts).
 *
 * Regions stand in the order of their codes; one without rings is not drawn. A region is its polygons between spaces,
 * a polygon its rings between `~`, a ring its arcs in order: `!` is the next arc of the list, a number counts back to
 * one that is there already, below zero when it is run backwards. An arc is as many corners as its length says,
 * differences in grid steps, the first from where the pen was. Numbers are written in DIGITS.
 */
import { topology } from "topojson-server";
import { presimplify, sphericalRingArea, sphericalTriangleArea } from "topojson-simplify";

/** Grid steps a degree. */
const SCALE = 100;
const EARTH_RADIUS_KM = 6371;
/** Of the smaller neighbour's area: the least triangle that a corner must make. */
const TRIANGLE = 0.03;
/** Of the largest part's area: the least island or hole. */
const PART = 0.05;
/** Square kilometres. */
const SMALLEST_REGION = 60;
/** Of an island's outline, beside its ends. */
const KEPT_OF_ISLAND = 3;

/** Printable ASCII without space, `!`, `"`, `\` and `~`. One of the first half ends a number, the second carries on. */
const DIGITS = "#$%&'()*+,-./0123456789:;<=>?@ABCDEFGHIJKLMNOPQRSTUVWXYZ[]^_`abcdefghijklmnopqrstuvwxyz{|}";
const BASE = 45;

/** The sketch of regions `{code, name, geometry}`, sorted by code. */
export function sketchOf(regions) {
  const drawn = regions.map(withoutSpecks).filter((region) => region.area >= SMALLEST_REGION);
  const features = drawn.map(({ geometry }) => ({ type: "Feature", properties: {}, geometry }));
  const weighed = presimplify(topology({ units: { type: "FeatureCollection", features } }, 1e6), sphericalTriangleArea);
  const shapes = weighed.objects.units.geometries.map(polygonsOf);
  const pen = new Pen(simplified(weighed.arcs, smallestBeside(shapes, drawn)));
  const rings = new Map(
    drawn.map(({ code }, at) => [code, shapes[at].map((polygon) => pen.polygon(polygon)).join(" ")]),
  );
  return {
    scale: SCALE,
    digits: DIGITS,
    codes: byCountry(regions.map(({ code }) => code)),
    names: regions.map(({ name }) => name).join("\n"),
    regions: regions.map(({ code }) => rings.get(code) ?? "").join("\n"),
    lengths: pen.lengths.join(""),
    arcs: pen.drawn.join(""),
  };
}

/** `FR-01 FR-02 GB-ABC` as `FR -01 -02;GB -ABC`; a region that is a whole country has nothing behind its code. */
function byCountry(codes) {
  const countries = new Map();
  for (const code of codes) {
    const country = code.slice(0, 2);
    countries.set(country, `${countries.get(country) ?? country} ${code.slice(2)}`);
  }
  return [...countries.values()].join(";");
}

function withoutSpecks({ code, geometry }) {
  const polygons = geometry.type === "Polygon" ? [geometry.coordinates] : geometry.coordinates;
  const largest = Math.max(...polygons.map(([shell]) => areaOf(shell)));
  const isPart = (ring) => areaOf(ring) >= PART * largest;
  const coordinates = polygons
    .filter(([shell]) => isPart(shell))
    .map(([shell, ...holes]) => [shell, ...holes.filter(isPart)]);
  return { code, area: largest, geometry: { type: "MultiPolygon", coordinates } };
}

/** Square kilometres, whichever way round the ring runs. */
function areaOf(ring) {
  const area = sphericalRingArea(ring, false);
  return Math.min(area, 4 * Math.PI - area) * EARTH_RADIUS_KM ** 2;
}

function polygonsOf({ type, arcs }) {
  return type === "Polygon" ? [arcs] : arcs;
}

/** The area of the smallest region along each arc, as the simplification measures: in steradians. */
function smallestBeside(shapes, drawn) {
  const smallest = [];
  shapes.forEach((polygons, at) => {
    const area = drawn[at].area / EARTH_RADIUS_KM ** 2;
    for (const ref of polygons.flat(2)) smallest[index(ref)] = Math.min(smallest[index(ref)] ?? area, area);
  });
  return smallest;
}

/** The arcs in whole grid steps, without the corners that a sketch does not need. */
function simplified(arcs, smallest) {
  return arcs.map((arc, at) => {
    const [first, last] = [arc[0], arc.at(-1)];
    const isIsland = first[0] === last[0] && first[1] === last[1];
    const weights = arc
      .slice(1, -1)
      .map((corner) => corner[2])
      .sort((a, b) => b - a);
    const kept = isIsland ? (weights[KEPT_OF_ISLAND - 1] ?? 0) : Infinity;
    const least = Math.min(TRIANGLE * smallest[at], kept);
    const corners = arc.filter((corner, i) => i === 0 || i === arc.length - 1 || corner[2] >= least);
    return corners.map(([x, y]) => [Math.round(x * SCALE), Math.round(y * SCALE)]).filter(isNew);
  });
}

/** The ends stay, also where they fall together. */
function isNew([x, y], at, all) {
  return at === 0 || at === all.length - 1 || x !== all[at - 1][0] || y !== all[at - 1][1];
}

/** Walks the rings and writes each arc where it is first needed, in the direction in which it is needed there. */
class Pen {
  drawn = [];
  lengths = [];
  #at = [0, 0];
  #known = new Map();

  constructor(arcs) {
    this.arcs = arcs;
  }

  polygon(rings) {
    return rings.map((ring) => ring.map((ref) => this.#arc(ref)).join("")).join("~");
  }

  #arc(ref) {
    const corners = ref < 0 ? this.arcs[index(ref)].toReversed() : this.arcs[index(ref)];
    const known = this.#known.get(index(ref));
    if (known) {
      this.#at = corners.at(-1);
      return written((this.#known.size - known.number) * (known.ref === ref ? 1 : -1));
    }
    this.#known.set(index(ref), { number: this.#known.size, ref });
    this.lengths.push(written(corners.length));
    this.drawn.push(corners.map((corner) => this.#move(corner)).join(""));
    return "!";
  }

  #move([x, y]) {
    const [fromX, fromY] = this.#at;
    this.#at = [x, y];
    return written(x - fromX) + written(y - fromY);
  }
}

function index(ref) {
  return ref < 0 ? ~ref : ref;
}

/** A whole number: its sign in the lowest place, the lower places first. */
function written(whole) {
  let rest = whole < 0 ? -2 * whole - 1 : 2 * whole;
  let text = "";
  for (; rest >= BASE; rest = Math.floor(rest / BASE)) text += DIGITS[BASE + (rest % BASE)];
  return text + DIGITS[rest];
}
