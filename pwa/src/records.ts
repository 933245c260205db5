/**
 * What phone and server exchange, generated from the server's Structs: change these, and run pwa/build/records.py.
 *
 * Times are RFC 3339 with an offset, volumes mL, temperatures degrees Celsius, contents % (V/V), coordinates WGS 84
 * degrees. A record never changes: a correction is the same id with a higher revision.
 *
 * A field with a question mark came later: records from before it lack it, and then its default holds.
 */

export const SCALES = ["volume", "linear", "corrected", "unknown"] as const;

export const BRINE_SCALES = ["volume", "linear"] as const;

export const LIQUIDS = ["water", "brine"] as const;

export type Scale = "corrected" | "linear" | "unknown" | "volume";

export type Liquid = "brine" | "water";

export type Sampled = "can" | "pump" | "tank";

export type AnswerStatus = "held" | "known" | "refused" | "replaced" | "stored";

export type Change = SourceChange | TestChange;

/**
 * A place that sells the fuel.
 *
 * subdivision: the ISO 3166-2 code the person confirmed near a border; the server decides from the coordinate
 * elsewhere. pump: the label on the pump, where a station has several.
 */
export interface Source {
  /** UUID version 7, lower case, made on the device */
  id: string;
  revision: number;
  kind: "source";
  name: string;
  /** WGS 84 degrees */
  latitude: number;
  /** WGS 84 degrees */
  longitude: number;
  /** RFC 3339 with offset */
  recorded_at: string;
  /** ISO 3166-2 code */
  subdivision: string | null;
  pump: string;
  notes: string;
}

/**
 * One visit to a source (or one can filled there), with the runs made on that sample.
 *
 * temperature: of the tube when read. water_temperature, fuel_temperature: of what was filled, when it was filled; one
 * that is left out is as the other, and if both are, as the tube. content, expanded_uncertainty: as the device
 * computed them, % (V/V), 95 % coverage; the server computes its own. model: the version of the tube model that the
 * device used. consent: the licence under which the person shares it.
 */
export interface Test {
  /** UUID version 7, lower case, made on the device */
  id: string;
  revision: number;
  kind: "test";
  /** UUID version 7, lower case, made on the device */
  source: string;
  sampled: Sampled;
  /** RFC 3339 with offset */
  sampled_at: string;
  /** RFC 3339 with offset */
  tested_at: string;
  tube: Tube;
  /** degrees Celsius, the range of OIML R 22 */
  temperature: number;
  temperature_measured: boolean;
  /** % (V/V) water in the fuel */
  fuel_water: number;
  runs: Run[];
  /** % (V/V) */
  content: number;
  /** % (V/V), 95 % coverage */
  expanded_uncertainty: number;
  consent: "CC0-1.0";
  note: string;
  photos: string[];
  /** degrees Celsius, the range of OIML R 22, where it is missing: null */
  water_temperature?: number | null;
  /** where it is missing: false */
  water_temperature_measured?: boolean;
  /** degrees Celsius, the range of OIML R 22, where it is missing: null */
  fuel_temperature?: number | null;
  /** where it is missing: false */
  fuel_temperature_measured?: boolean;
  /** where it is missing: 1 */
  model?: number;
}

/**
 * The tube a test was made in.
 *
 * scale: what is printed on it, see chemistry/measurement.py. graduation: smallest step, in mL on a volume scale, else
 * in printed %. tolerance: limit of error of the marks in mL, if stated. calibration: marks that were weighed. offset:
 * what the tube reads too low, in points, from a known sample, with its expanded uncertainty (95 %); 0 and 0 without
 * one. offset_content: what the known sample held, % (V/V); an offset without it is from before the exchange between
 * the layers was allowed for.
 */
export interface Tube {
  /** UUID version 7, lower case, made on the device */
  id: string;
  scale: Scale;
  graduation: number;
  liquid: Liquid;
  /** mL */
  tolerance: number | null;
  /** where it is missing: [] */
  calibration?: CalibrationMark[];
  /** points of % (V/V), where it is missing: 0.0 */
  offset?: number;
  /** points of % (V/V), 95 % coverage, where it is missing: 0.0 */
  offset_uncertainty?: number;
  /** % (V/V), where it is missing: null */
  offset_content?: number | null;
}

/** A mark of a tube: the volume printed at it and the volume of the water weighed to it, mL. */
export interface CalibrationMark {
  /** mL */
  nominal: number;
  /** mL */
  true: number;
}

/**
 * One filling, shaking and reading of the tube.
 *
 * water, fuel: volumes filled, mL. line: the parting line on a volume scale, mL. percent: the line on a printed
 * percent scale. Exactly one of line and percent is given. top: surface of the fuel, mL, if it was read.
 * line_half_width: how far the line may lie from the reading, mL, where a photo shows it. marks: the photo's marks.
 * tube: where it is another one than the test's. set_aside: why it does not count in the content; empty where it does.
 */
export interface Run {
  /** mL */
  water: number;
  /** mL */
  fuel: number;
  /** mL */
  line: number | null;
  /** % (V/V) */
  percent: number | null;
  /** mL */
  top: number | null;
  /** mL, where it is missing: null */
  line_half_width?: number | null;
  /** where it is missing: null */
  marks?: PhotoMarks | null;
  /** where it is missing: null */
  tube?: Tube | null;
  /** where it is missing: "" */
  set_aside?: string;
}

/**
 * Where a person marked the tube in a photo, so that anyone can check the reading against the picture.
 *
 * photo: one of the test's photos. bottom_volume: what the bottom mark stands for, mL; the water and the fuel mark
 * stand for what the run was filled with.
 */
export interface PhotoMarks {
  /** SHA-256 of the picture's bytes, lower-case hex */
  photo: string;
  /** mL */
  bottom_volume: number;
  bottom: Place;
  water: Place;
  fuel: Place;
  line: Place;
}

/** A point of a picture, in its pixels, x to the right and y down. */
export interface Place {
  x: number;
  y: number;
}

/** Takes a record back: its figures, note and photos leave the server; a tombstone with the id stays. */
export interface Retraction {
  /** UUID version 7, lower case, made on the device */
  id: string;
  revision: number;
  kind: "source" | "test";
  retracted: true;
}

/** A problem with its sentence, as sent to a device or printed. */
export interface Problem {
  code: string;
  field: string;
  value: string;
  limit: string;
  sentence: string;
}

/** One answer per record, in order. received_at: the server's clock. */
export interface Pushed {
  answers: Answer[];
  received_at: string;
}

/**
 * The fate of one record.
 *
 * stored, known (was there already), replaced (took the place of a lower revision), held (kept, not counted) or
 * refused, with the reasons. content, expanded_uncertainty: the server's own, % (V/V). region: ISO 3166-2.
 */
export interface Answer {
  id: string | null;
  kind: string | null;
  revision: number | null;
  status: AnswerStatus;
  problems: Problem[];
  content: number | null;
  expanded_uncertainty: number | null;
  region: string | null;
}

/** A source that changed. into: the source that stands for a merged one. */
export interface SourceChange {
  kind: "source";
  sequence: number;
  id: string;
  revision: number;
  retracted: boolean;
  region: string;
  contributor: string | null;
  received_at: string;
  state: "counted" | "held" | "merged" | "withheld";
  flags: string[];
  into: string | null;
  figures: null;
  record: Source | null;
}

/** A test that changed, with the server's own result. */
export interface TestChange {
  kind: "test";
  sequence: number;
  id: string;
  revision: number;
  retracted: boolean;
  region: string;
  contributor: string | null;
  received_at: string;
  state: "counted" | "held" | "merged" | "withheld";
  flags: string[];
  figures: TestFigures | null;
  record: Test | null;
}

/**
 * The server's own result of a test. own_uncertainty and shared_uncertainty are standard uncertainties.
 *
 * model: the version of the tube model. former: the result by the model before, if it was computed with that.
 */
export interface TestFigures {
  content: number;
  expanded_uncertainty: number;
  own_uncertainty: number;
  shared_uncertainty: number;
  coverage_factor: number;
  model: number;
  former: Former | null;
}

/** What an earlier model of the tube made of a test, % (V/V). */
export interface Former {
  model: number;
  content: number;
  expanded_uncertainty: number;
}

/** A page of changes. cursor: for the next page; more: whether there is one already. */
export interface Pulled {
  changes: Change[];
  cursor: string;
  more: boolean;
}

/** The tubes of whoever asks, those of which something is known. */
export interface OwnTubes {
  tubes: TubeFigures[];
}

/** What a tube reads too high or too low in a region, % (V/V), standard uncertainty; sources it rests on. */
export interface TubeFigures {
  tube: string;
  region: string;
  offset: number;
  uncertainty: number;
  sources: number;
  learned_at: string;
}

/** Records of whoever asks, as they came. contributor, received_at: whose and when, not what others see of these. */
export interface OwnRecords {
  changes: Change[];
}

/** By region and contributor; one who is missing is a stranger. */
export interface Contributors {
  contributors: ContributorWeight[];
}

/** How much a contributor counts in a region, above 0 to 1: from 0.75 on they are established. */
export interface ContributorWeight {
  region: string;
  contributor: string;
  weight: number;
}

/** All regions that have sources. */
export interface RegionEntries {
  regions: RegionEntry[];
}

/** A region that has sources. */
export interface RegionEntry {
  code: string;
  name: string;
  country: string;
  sources: number;
  tests: number;
  contributors: number;
}

/** A region as a Feature of GeoJSON; geometry: none where the region is known and not drawn. */
export interface RegionOutline {
  type: "Feature";
  properties: OutlineNames;
  geometry: MultiPolygon | null;
}

/** Which region an outline is of. */
export interface OutlineNames {
  code: string;
  name: string;
  country: string;
}

/** Polygons of rings of corners [longitude, latitude], as RFC 7946 wants them. */
export interface MultiPolygon {
  type: "MultiPolygon";
  coordinates: number[][][][];
}

/**
 * invented: the records were made up for the demo. outlines: another one means that they were drawn anew.
 *
 * tiles: where the app may ask for map pictures.
 */
export interface Health {
  status: "ok";
  version: string;
  invented: boolean;
  outlines: string;
  tiles: Tiles | null;
}

/** Map pictures that the keeper names. address: of one, with {z}, {x} and {y}. attribution: who made them. */
export interface Tiles {
  address: string;
  attribution: string;
}
