import { bearing_deg, distance_km } from "@/geo/position";

const at = (latitude: number, longitude: number) => ({ latitude, longitude });

test("a degree along a meridian is a 360th of the mean earth's circumference (IUGG radius 6371.0088 km)", () => {
  expect(distance_km(at(45, 2), at(46, 2))).toBeCloseTo((2 * Math.PI * 6371.0088) / 360, 6);
});

test("antipodes are half a circumference apart", () => {
  expect(distance_km(at(0, 0), at(0, 180))).toBeCloseTo(Math.PI * 6371.0088, 3);
});

test("bearings along the axes, and across the date line", () => {
  expect(bearing_deg(at(45, 2), at(46, 2))).toBeCloseTo(0, 9);
  expect(bearing_deg(at(0, 2), at(0, 3))).toBeCloseTo(90, 9);
  expect(bearing_deg(at(0, 179), at(0, -179))).toBeCloseTo(90, 9);
  expect(bearing_deg(at(46, 2), at(45, 2))).toBeCloseTo(180, 9);
});
