import type { Labels } from "..";

/** Labels for numbers, units and dates. East is leste, west is oeste. */
export const format: Labels["format"] = {
  interval: (low, high) => `${low}\u00a0a\u00a0${high}`,
  winds: { N: "N", NE: "NE", E: "L", SE: "SE", S: "S", SW: "SO", W: "O", NW: "NO" },
  pair: (name, value) => `${name}: ${value}`,
  gallon: "gal (EUA)",
  justNow: "agora mesmo",
  today: "hoje",
  onDay: (day) => `em ${day}`,
  away: (distance, bearing) => `${distance} ${bearing}`,
  signed: (amount) => `+${amount}`,
};
