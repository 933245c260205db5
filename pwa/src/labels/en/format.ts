/** The words that belong to numbers, units and dates; `format.ts` puts them together. */
export const format = {
  interval: (low: string, high: string) => `${low} to ${high}`,
  winds: ["N", "NE", "E", "SE", "S", "SW", "W", "NW"],
  gallon: "US gal",
  justNow: "just now",
  onDay: (day: string) => `on ${day}`,
};
