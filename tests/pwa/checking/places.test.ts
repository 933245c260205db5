/** The rule of tests/server/checking; fixtures/vectors/places.json compares similarity with the server's. */

import { may_be_one, type Place } from "@/checking/places";

const here: Place = { name: "Station du Lac rond", pump: "", latitude: 45.3, longitude: 2.5 };
/** A position this many metres north of it. */
const north = (metres: number, change: Partial<Place> = {}): Place => ({
  ...here,
  latitude: here.latitude + metres / 111_195,
  ...change,
});

test("a source within 150 m is similar whatever its name", () => {
  expect(may_be_one(here, north(149, { name: "Garage" }))).toBe(true);
  expect(may_be_one(here, north(151, { name: "Garage" }))).toBe(false);
});

test("a source within 1 km is similar if its name is", () => {
  expect(may_be_one(here, north(990, { name: "LAC ROND, station" }))).toBe(true);
  expect(may_be_one(here, north(1010))).toBe(false);
});

test("two pumps of one station are two sources", () => {
  expect(may_be_one({ ...here, pump: "1" }, { ...here, pump: "2" })).toBe(false);
  expect(may_be_one({ ...here, pump: "1" }, here)).toBe(true);
});
