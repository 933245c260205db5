/**
 * What is sent and stored, field by field as in server/splitline/records.py, which documents them.
 * Times are RFC 3339 with an offset, volumes mL, temperatures °C, contents % (V/V), coordinates WGS 84 degrees.
 * Fields with a question mark came later: tests that were kept before them lack them, and then the default of records.py
 * holds.
 */

export const LICENCE = "CC0-1.0";

export type Scale = "volume" | "linear" | "corrected" | "unknown";
export type Liquid = "water" | "brine";
export type Sampled = "pump" | "can" | "tank";

export interface Source {
  kind: "source";
  id: string;
  revision: number;
  name: string;
  latitude: number;
  longitude: number;
  recorded_at: string;
  subdivision: string | null;
  pump: string;
  notes: string;
}

export interface CalibrationMark {
  nominal: number;
  true: number;
}

export interface Tube {
  id: string;
  scale: Scale;
  graduation: number;
  liquid: Liquid;
  tolerance: number | null;
  calibration?: CalibrationMark[];
  offset?: number;
  offset_uncertainty?: number;
}

/** A point of a picture, in its pixels. */
export interface Place {
  x: number;
  y: number;
}

export interface PhotoMarks {
  photo: string;
  bottom_volume: number;
  bottom: Place;
  water: Place;
  fuel: Place;
  line: Place;
}

export interface Run {
  water: number;
  fuel: number;
  line: number | null;
  percent: number | null;
  top: number | null;
  line_half_width?: number | null;
  marks?: PhotoMarks | null;
}

export interface Test {
  kind: "test";
  id: string;
  revision: number;
  source: string;
  sampled: Sampled;
  sampled_at: string;
  tested_at: string;
  tube: Tube;
  temperature: number;
  temperature_measured: boolean;
  fuel_water: number;
  runs: Run[];
  content: number;
  expanded_uncertainty: number;
  consent: typeof LICENCE;
  note: string;
  photos: string[];
}

export interface Retraction {
  kind: "source" | "test";
  id: string;
  revision: number;
  retracted: true;
}

export type WireRecord = Source | Test | Retraction;

/** One thing that is wrong with a record; the sentence is the server's. */
export interface Problem {
  code: string;
  field: string;
  value: string;
  limit: string;
  sentence: string;
}

export type AnswerStatus = "stored" | "known" | "replaced" | "held" | "refused";

/** What the server said about one pushed record. */
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

/** The server's own recomputation of a test. */
export interface ServerFigures {
  content: number;
  expanded_uncertainty: number;
  own_uncertainty: number;
  shared_uncertainty: number;
  coverage_factor: number;
}

/** One pulled change. */
export interface Change {
  sequence: number;
  kind: "source" | "test";
  id: string;
  revision: number;
  retracted: boolean;
  region: string;
  contributor: string;
  received_at: string;
  /** A later server may know more states; what does not count comes without its record. */
  state: "counted" | "held" | "withheld" | "merged";
  record: Source | Test | null;
  /** The source that stands for a merged one. */
  into?: string | null;
  figures: ServerFigures | null;
  flags: string[];
}
