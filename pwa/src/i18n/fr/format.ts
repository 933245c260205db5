import type { Labels } from "..";

/** Labels for numbers, units and dates. */
export const format: Labels["format"] = {
  interval: (low, high) => `${low}\u00a0à\u00a0${high}`,
  winds: { N: "N", NE: "NE", E: "E", SE: "SE", S: "S", SW: "SO", W: "O", NW: "NO" },
  pair: (name, value) => `${name} : ${value}`,
  gallon: "gal US",
  justNow: "à l’instant",
  today: "aujourd’hui",
  onDay: (day) => `le ${day}`,
  away: (distance, bearing) => `${distance} ${bearing}`,
  signed: (amount) => `+${amount}`,
};
