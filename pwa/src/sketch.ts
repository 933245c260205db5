/** The world's regions as the phone knows them, without a signal: names, rough outlines, who borders on whom. */

import type written from "@built/sketch.json";
import type { Point } from "./position";

/** Rings of corners: the shell first, then holes; not closed. */
export type Polygon = Point[][];

/** Steps of the grid, east and north. */
type Corner = readonly [number, number];

/** One arc of a ring. */
interface Piece {
  arc: number;
  backwards: boolean;
}

export class Sketch {
  readonly #scale: number;
  readonly #names = new Map<string, string>();
  readonly #shapes = new Map<string, Piece[][][]>();
  readonly #arcs: Corner[][];
  /** The regions along each arc, once somebody asks. */
  #beside: Map<number, string[]> | null = null;

  constructor(file: typeof written) {
    this.#scale = file.scale;
    const codes = file.codes.split(";").flatMap((country) => {
      const [start = "", ...ends] = country.split(" ");
      return ends.map((end) => start + end);
    });
    const names = file.names.split("\n");
    const walk = new Walk(file);
    for (const [at, rings] of file.regions.split("\n").entries()) {
      const code = codes[at] as string;
      this.#names.set(code, names[at] as string);
      if (rings !== "")
        this.#shapes.set(
          code,
          rings.split(" ").map((polygon) => walk.polygon(polygon)),
        );
    }
    this.#arcs = walk.arcs;
  }

  /** All regions, in the order of their codes. */
  get names(): ReadonlyMap<string, string> {
    return this.#names;
  }

  /** The region's outline; null where none is drawn. Across the 180th meridian longitudes go on beyond 180. */
  outline(code: string): Polygon[] | null {
    const shape = this.#shapes.get(code);
    if (shape === undefined) return null;
    const polygons = shape.map((rings) => rings.map((pieces) => this.#ring(pieces)));
    return isAcross(polygons) ? polygons.map((rings) => rings.map((ring) => ring.map(eastward))) : polygons;
  }

  /** The regions that share a border with this one, in the order of their codes. */
  neighbours(code: string): string[] {
    this.#beside ??= besides(this.#shapes);
    const found = arcsOf(this.#shapes.get(code) ?? []).flatMap((arc) => this.#beside?.get(arc) ?? []);
    return [...new Set(found)].filter((other) => other !== code).sort();
  }

  /** The middle of the border of two regions; null where they share none. */
  border(code: string, other: string): Point | null {
    const own = new Set(arcsOf(this.#shapes.get(code) ?? []));
    const shared = arcsOf(this.#shapes.get(other) ?? []).filter((arc) => own.has(arc));
    const corners = shared.flatMap((arc) => this.#arcs[arc] as Corner[]);
    return corners.length === 0 ? null : this.#point([mean(corners, 0), mean(corners, 1)]);
  }

  #point([x, y]: Corner): Point {
    return { latitude: y / this.#scale, longitude: x / this.#scale };
  }

  #ring(pieces: Piece[]): Point[] {
    return pieces.flatMap(({ arc, backwards }) => {
      const corners = this.#arcs[arc] as Corner[];
      const inOrder = backwards ? corners.toReversed() : corners;
      // The last corner of an arc is the first of the next.
      return inOrder.slice(0, -1).map((corner) => this.#point(corner));
    });
  }
}

let loading: Promise<Sketch> | null = null;

/** Loads the sketch once; the worker has it, so this works offline. */
export function loadSketch(): Promise<Sketch> {
  loading ??= import("@built/sketch.json").then((file) => new Sketch(file.default));
  return loading;
}

/** Follows the rings in the order in which they were written, as the pen of build/sketch.mjs did. */
class Walk {
  readonly arcs: Corner[][] = [];
  readonly #steps: Numbers;
  readonly #lengths: Numbers;
  readonly #digits: string;
  #pen: Corner = [0, 0];

  constructor({ arcs, lengths, digits }: Pick<typeof written, "arcs" | "lengths" | "digits">) {
    this.#digits = digits;
    this.#steps = new Numbers(arcs, digits);
    this.#lengths = new Numbers(lengths, digits);
  }

  polygon(text: string): Piece[][] {
    return text.split("~").map((ring) => this.#ring(ring));
  }

  #ring(text: string): Piece[] {
    const refs = new Numbers(text, this.#digits);
    const pieces: Piece[] = [];
    while (!refs.isOver) pieces.push(refs.skip("!") ? this.#draw() : this.#follow(refs.next()));
    return pieces;
  }

  #draw(): Piece {
    const corners = Array.from({ length: this.#lengths.next() }, () => this.#step());
    this.arcs.push(corners);
    return { arc: this.arcs.length - 1, backwards: false };
  }

  #follow(ref: number): Piece {
    const arc = this.arcs.length - Math.abs(ref);
    const corners = this.arcs[arc] as Corner[];
    this.#pen = (ref < 0 ? corners[0] : corners.at(-1)) as Corner;
    return { arc, backwards: ref < 0 };
  }

  #step(): Corner {
    const [x, y] = this.#pen;
    this.#pen = [x + this.#steps.next(), y + this.#steps.next()];
    return this.#pen;
  }
}

/** Reads whole numbers, the lower places first, their sign in the lowest. */
class Numbers {
  readonly #text: string;
  readonly #digits: string;
  #at = 0;

  constructor(text: string, digits: string) {
    this.#text = text;
    this.#digits = digits;
  }

  get isOver(): boolean {
    return this.#at >= this.#text.length;
  }

  skip(mark: string): boolean {
    if (this.#text[this.#at] !== mark) return false;
    this.#at += 1;
    return true;
  }

  next(): number {
    const base = this.#digits.length / 2;
    let value = 0;
    for (let place = 1; ; place *= base) {
      const digit = this.#digits.indexOf(this.#text[this.#at] as string);
      this.#at += 1;
      value += (digit % base) * place;
      if (digit < base) return value % 2 === 0 ? value / 2 : -(value + 1) / 2;
    }
  }
}

function arcsOf(shape: Piece[][][]): number[] {
  return shape.flat(2).map((piece) => piece.arc);
}

function besides(shapes: ReadonlyMap<string, Piece[][][]>): Map<number, string[]> {
  const beside = new Map<number, string[]>();
  for (const [code, shape] of shapes) {
    for (const arc of arcsOf(shape)) beside.set(arc, [...(beside.get(arc) ?? []), code]);
  }
  return beside;
}

function mean(corners: Corner[], axis: 0 | 1): number {
  return corners.reduce((sum, corner) => sum + corner[axis], 0) / corners.length;
}

function isAcross(polygons: Polygon[]): boolean {
  const longitudes = polygons.flat(2).map((corner) => corner.longitude);
  return Math.max(...longitudes) - Math.min(...longitudes) > 180;
}

function eastward({ latitude, longitude }: Point): Point {
  return { latitude, longitude: longitude < 0 ? longitude + 360 : longitude };
}
