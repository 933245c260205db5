/**
 * What phone and server exchange, generated from the server's Structs: change these, and run pwa/build/records.py.
 *
 * Times are RFC 3339 with an offset, volumes mL, temperatures degrees Celsius, contents % (V/V), coordinates WGS 84
 * degrees. A record never changes: a correction has the same id and a higher revision.
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
 * temperature: of the tube when read. water_temperature, fuel_temperature: when filled; one left out equals the other,
 * and if both are, the tube's. content, expanded_uncertainty: as the device computed them, % (V/V), 95 % coverage; the
 * server computes its own. model: the version of the tube model that the device used. consent: the licence under which
 * the person shares it.
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
 * by how many points the tube reads low, found with a known sample, with its expanded uncertainty (95 %); both 0 if
 * none was run. offset_content: content of the known sample, % (V/V); an offset without it dates from before the
 * correction for exchange between the layers.
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

/** A mark of a tube: the volume printed at it and the volume of water weighed into it, mL. */
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
 * line_half_width: half-width of the line's uncertainty, mL, where a photo shows it. marks: the photo's marks. tube:
 * if it is not the test's. set_aside: why the run does not count in the content; empty if it does.
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
 * photo: one of the test's photos. bottom_volume: volume at the bottom mark, mL; the volumes at the water and the fuel
 * mark are those of the run.
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

/** A point in a picture, in pixels, x to the right and y down. */
export interface Place {
  x: number;
  y: number;
}

/** Withdraws a record: its figures, note and photos leave the server; a tombstone with the id stays. */
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
 * The outcome for one record.
 *
 * stored, known (already here), replaced (took the place of a lower revision), held (saved, not counted) or refused,
 * with the reasons. content, expanded_uncertainty: the server's own, % (V/V), 95 % coverage. region: ISO 3166-2.
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

/** A source that changed. into: the source it was merged into. */
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
 * model: the version of the tube model. former: the result by the version before, if there was one.
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

/** The result of a test by an earlier version of the tube model, % (V/V). */
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

/** The caller's own tubes, those with a known bias. */
export interface OwnTubes {
  tubes: TubeFigures[];
}

/** A tube's bias in a region, % (V/V), with its standard uncertainty; number of sources it rests on. */
export interface TubeFigures {
  tube: string;
  region: string;
  offset: number;
  uncertainty: number;
  sources: number;
  learned_at: string;
}

/** The caller's own records, as they came. contributor, received_at: the real ones, not the public forms. */
export interface OwnRecords {
  changes: Change[];
}

/** By region and contributor; one who is not listed is a stranger. */
export interface Contributors {
  contributors: ContributorWeight[];
}

/** A contributor's weight in a region, above 0 to 1: from 0.75 on they are established. */
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

/** A region as a GeoJSON Feature; geometry is null if the region is known but not drawn. */
export interface RegionOutline {
  type: "Feature";
  properties: OutlineNames;
  geometry: MultiPolygon | null;
}

/** The region that an outline belongs to. */
export interface OutlineNames {
  code: string;
  name: string;
  country: string;
}

/** Polygons: rings of corners [longitude, latitude], as RFC 7946 requires. */
export interface MultiPolygon {
  type: "MultiPolygon";
  coordinates: number[][][][];
}

/**
 * invented: the records were made up for the demo. outlines: digest that changes when they are redrawn.
 *
 * tiles: where the app may fetch map pictures.
 */
export interface Health {
  status: "ok";
  version: string;
  invented: boolean;
  outlines: string;
  tiles: Tiles | null;
}

/** The operator's map pictures. address: URL of one, with {z}, {x} and {y}. attribution: who made them. */
export interface Tiles {
  address: string;
  attribution: string;
}
