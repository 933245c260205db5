// What the layers exchange besides ethanol. Counterpart of chemistry/exchange.py, which explains the table.
import built_in from "@constants/chemistry/exchange.json";
import { place_of } from "./interpolation";

export const COLDEST = built_in.valid_celsius[0] as number;
export const WARMEST = built_in.valid_celsius[1] as number;
/** The upper layer may vanish above this content, %. */
export const HIGHEST = built_in.highest_content;
const KNOWN_AT = 20;
const STRONG = 60;
const ABOUT_EQUAL = 0.45;

/** A corrected content, %, the correction's standard uncertainty, and how it responds to the content as read. */
export interface Exchanged {
  readonly content: number;
  readonly uncertainty: number;
  readonly slope: number;
}

/** A table by share of fuel and content in %: how many points a line reads too high, and their standard uncertainty. */
export interface Exchange {
  readonly contents_percent: readonly number[];
  readonly fuel_shares: readonly number[];
  readonly bias_points: readonly (readonly number[])[];
  readonly u_points: readonly (readonly number[])[];
}

export const BUILT_IN: Exchange = built_in;

/** Return the true content for a content as read from a line, %; no correction outside 0..35 degrees. */
export function corrected(table: Exchange, read: number, share: number, temperature: number): Exchanged {
  const { contents_percent: contents } = table;
  const [low, part] = place_of(table.fuel_shares, share);
  const [bias, spread] = [table.bias_points, table.u_points].map((rows) =>
    between(rows[low] as number[], rows[low + 1] as number[], part),
  ) as [number[], number[]];
  const nodes = contents.map((content, index) => content + (bias[index] as number));
  const inside = Math.min(Math.max(read, nodes[0] as number), nodes.at(-1) as number);
  const [at, along] = place_of(nodes, inside);
  const width = (contents[at + 1] as number) - (contents[at] as number);
  const found = (contents[at] as number) + along * width + (read - inside);
  const known = (spread[at] as number) + along * ((spread[at + 1] as number) - (spread[at] as number));
  const slopes = built_in.u_per_kelvin_from_20;
  const warming = found > STRONG && share > ABOUT_EQUAL ? slopes.strong_equal : slopes.other;
  const squared = known ** 2 + (warming * (temperature - KNOWN_AT)) ** 2;
  if (!(COLDEST <= temperature && temperature <= WARMEST))
    return { content: read, uncertainty: Math.sqrt(squared + (found - read) ** 2), slope: 1 };
  const gap = (nodes[at + 1] as number) - (nodes[at] as number);
  return { content: found, uncertainty: Math.sqrt(squared), slope: inside === read ? width / gap : 1 };
}

function between(from: readonly number[], to: readonly number[], part: number): number[] {
  return from.map((value, index) => value + part * ((to[index] as number) - value));
}
