// How level the phone is held, from the browser's angles.
import { heldAt } from "@/widgets/level-sign";

test.each([
  ["upright", 90, 0, 0, 0, 0],
  ["top tilted back towards the user: the camera looks down", 80, 0, 0, -10, 0],
  ["top leaning away: the camera looks up", 100, 0, 0, 10, 0],
  ["on its left side, the picture turned with it", 0, -90, 90, 0, 0],
])("%s", (_, beta, gamma, screen, tilt, turned) => {
  const held = heldAt(beta, gamma, screen);
  expect(held.tilt).toBeCloseTo(tilt);
  expect(held.turned).toBeCloseTo(turned);
});

test("turning the phone clockwise is reported as clockwise", () => {
  // Up is then 10 degrees to the left of the phone's top.
  const [x, y] = [-Math.sin(Math.PI / 18), Math.cos(Math.PI / 18)];
  const beta = (Math.asin(y) * 180) / Math.PI;
  const gamma = (Math.asin(-x / Math.cos(Math.asin(y))) * 180) / Math.PI;
  expect(heldAt(beta, gamma, 0)).toEqual({ tilt: expect.closeTo(0), turned: expect.closeTo(10) });
});
