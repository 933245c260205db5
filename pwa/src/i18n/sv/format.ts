import type { Labels } from "..";

/** Labels for numbers, units and dates. */
export const format: Labels["format"] = {
  interval: (low, high) => `${low}\u00a0till\u00a0${high}`,
  winds: { N: "N", NE: "NO", E: "O", SE: "SO", S: "S", SW: "SV", W: "V", NW: "NV" },
  pair: (name, value) => `${name}: ${value}`,
  gallon: "US gal",
  justNow: "nyss",
  today: "i dag",
  onDay: (day) => `den ${day}`,
  away: (distance, bearing) => `${distance} ${bearing}`,
  signed: (amount) => `+${amount}`,
};
