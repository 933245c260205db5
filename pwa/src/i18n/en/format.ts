/** Labels for numbers, units and dates; `format.ts` puts them together. */
export const format = {
  interval: (low: string, high: string) => `${low}\u00a0to\u00a0${high}`,
  winds: { N: "N", NE: "NE", E: "E", SE: "SE", S: "S", SW: "SW", W: "W", NW: "NW" },
  pair: (name: string, value: string) => `${name}: ${value}`,
  gallon: "US gal",
  justNow: "just now",
  today: "today",
  onDay: (day: string) => `on ${day}`,
  away: (distance: string, bearing: string) => `${distance} ${bearing}`,
  signed: (amount: string) => `+${amount}`,
};
