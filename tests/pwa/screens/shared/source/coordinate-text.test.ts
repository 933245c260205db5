import { speak } from "@/i18n";
import { pointOf } from "@/screens/shared/source/coordinate-text";

describe("a position as people type it", () => {
  it.each([
    ["45.3012, 2.5144", 45.3012, 2.5144],
    ["45.3012 2.5144", 45.3012, 2.5144],
    ["45,3012; 2,5144", 45.3012, 2.5144],
    ["45,3012, 2,5144", 45.3012, 2.5144],
    ["45, 2", 45, 2],
    ["-33.9, 18.4", -33.9, 18.4],
    ["−33.9, −18.4", -33.9, -18.4],
    ["45.3012° N, 2.5144° W", 45.3012, -2.5144],
    ["N 45.3012 W 2.5144", 45.3012, -2.5144],
    ["S 33.9, E 18.4", -33.9, 18.4],
  ])("%s", (text, latitude, longitude) => {
    expect(pointOf(text)).toEqual({ latitude, longitude });
  });

  it.each(["", "45.3", "at the crossing", "95, 2", "45, 190", "45° 18' 4\" N, 2° 30' 5\" E", "1, 2, 3"])(
    "is not found in: %s",
    (text) => {
      expect(pointOf(text)).toBeNull();
    },
  );
});

test("no station is at 0, 0", () => {
  expect(pointOf("0, 0")).toBeNull();
  expect(pointOf("0 2.5")).toEqual({ latitude: 0, longitude: 2.5 });
});

describe("the letters of other languages", () => {
  it.each([
    ["fr", "45.3012 N, 2.5144 O", 45.3012, -2.5144],
    ["pt", "22,3012° S; 47,5144° O", -22.3012, -47.5144],
    ["pt", "S 33.9012, L 18.4144", -33.9012, 18.4144],
    ["sv", "59,3012° N; 18,5144° O", 59.3012, 18.5144],
    ["sv", "N 59.3012, Ö 18.5144", 59.3012, 18.5144],
    ["sv", "37.8012 N, 122.4144 v", 37.8012, -122.4144],
  ] as const)("%s: %s", async (language, text, latitude, longitude) => {
    await speak(language);
    expect(pointOf(text)).toEqual({ latitude, longitude });
  });
});
