import { speak } from "@/i18n";
import * as format from "@/i18n/format";

const celsius = { temperature_unit: "C" } as const;
const fahrenheit = { temperature_unit: "F" } as const;

test("numbers have a true minus, fixed decimals, and no minus zero", () => {
  expect(format.number(-3.25, 1)).toBe("\u22123.3");
  expect(format.number(-0.04, 1)).toBe("0.0");
  expect(format.number(Number.NaN)).toBe("–");
});

test("a content has as many decimals as its uncertainty allows", () => {
  expect(format.withUncertainty(83.456, 1.94)).toBe("83.5\u00a0±\u00a01.9\u00a0%");
  expect(format.withUncertainty(83.456, 12)).toBe("83\u00a0±\u00a012\u00a0%");
  expect(format.withUncertainty(83.456, 0.042)).toBe("83.46\u00a0±\u00a00.04\u00a0%");
});

test("a number is never separated from its unit by a line break", () => {
  const written = [
    format.percent(5),
    format.mL(50),
    format.volume(3, { volume_unit: "gal" }),
    format.interval([79, 86]),
  ];
  expect(written).toEqual(["5.0\u00a0%", "50.0\u00a0mL", "0.8\u00a0US gal", "79\u00a0to\u00a086\u00a0%"]);
});

test("units by definition: the US gallon is 231 cubic inches, the mile 1.609344 km", () => {
  expect(format.toVolume((231 * 2.54 ** 3) / 1000, { volume_unit: "gal" })).toBeCloseTo(1, 12);
  expect(format.fromVolume(1, { volume_unit: "gal" })).toBeCloseTo(3.785411784, 12);
  expect(format.distance(1.609344 * 3, { distance_unit: "mi" })).toBe("3.0\u00a0mi");
  expect(format.toTemperature(-40, fahrenheit)).toBeCloseTo(-40, 12);
  expect(format.fromTemperature(212, fahrenheit)).toBeCloseTo(100, 12);
  expect(format.temperature(20, fahrenheit, 0)).toBe("68\u00a0°F");
  expect(format.temperature(20, celsius, 0)).toBe("20\u00a0°C");
});

test("bearings and durations are formatted", () => {
  expect([0, 44, 90, 181, 337.6, 359.9].map(format.bearing)).toEqual(["N", "NE", "E", "S", "N", "N"]);
  expect(format.clock(581_000)).toBe("9:41");
  expect(format.clock(-5)).toBe("0:00");
});

test("ages use the largest fitting unit", () => {
  const now = new Date("2026-03-12T12:00:00Z");
  expect(format.ago("2026-03-12T11:59:30Z", now)).toBe("just now");
  expect(format.ago("2026-03-12T11:00:00Z", now)).toBe("1 hour ago");
  expect(format.ago("2026-03-09T11:00:00Z", now)).toBe("3 days ago");
  expect(format.ago("not a time", now)).toBe("–");
  // From a wrong clock: two years ahead is not "just now".
  expect(format.ago("2026-03-12T12:09:00Z", now)).toBe("just now");
  expect(format.ago("2028-03-12T12:00:00Z", now)).toBe("on 12\u00a0Mar\u00a02028");
});

test("spans use the largest unit of which they have at least two", () => {
  const hour = 3_600_000;
  const spans = [hour / 4, hour, 1.9 * hour, 3 * hour, 47 * hour, 48 * hour, 730.4 * 24 * hour];
  expect(spans.map(format.span)).toEqual([
    "15 minutes",
    "60 minutes",
    "114 minutes",
    "3 hours",
    "47 hours",
    "2 days",
    "730 days",
  ]);
});

test("times have the phone's offset and name the same instant", () => {
  const date = new Date("2026-03-12T14:05:09.123Z");
  const text = format.rfc3339(date);
  expect(text).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}[+-]\d\d:\d\d$/);
  expect(Date.parse(text)).toBe(date.getTime());
});

describe("in French", () => {
  beforeEach(() => speak("fr"));

  test("numbers have a comma, and thousands a narrow space", () => {
    expect(format.withUncertainty(83.456, 1.94)).toBe("83,5\u00a0±\u00a01,9\u00a0%");
    expect(format.number(-1234567.8, 1)).toBe("\u22121\u202f234\u202f567,8");
    expect(format.number(1234, 0)).toBe("1234");
    expect(format.interval([79, 86])).toBe("79\u00a0à\u00a086\u00a0%");
    expect(format.coordinates(45.3, -2.5)).toBe("45.30000, \u22122.50000");
  });

  test("none and one are singular", () => {
    expect([0, 1, 2, 1_000_000].map((n) => format.count(n, "essai", "essais"))).toEqual([
      "0\u00a0essai",
      "1\u00a0essai",
      "2\u00a0essais",
      "1\u202f000\u202f000\u00a0essais",
    ]);
  });

  test("dates, ages, lists and winds", () => {
    const now = new Date("2026-03-12T12:00:00Z");
    expect(format.day(now)).toBe("12\u00a0mars\u00a02026");
    expect(format.month("2026-02")).toBe("févr.\u00a02026");
    expect(format.ago("2026-03-09T11:00:00Z", now)).toBe("il y a 3 jours");
    expect(format.ago("2026-03-12T11:59:30Z", now)).toBe("à l’instant");
    expect(format.ago("2025-03-12T12:00:00Z", now)).toBe("le 12\u00a0mars\u00a02025");
    expect(format.list(["Cantal", "Lot", "Tarn"])).toBe("Cantal, Lot et Tarn");
    expect(format.bearing(225)).toBe("SO");
    expect(format.windOf(225)).toBe("SW");
  });
});

describe("in Brazilian Portuguese", () => {
  beforeEach(() => speak("pt"));

  test("numbers have a comma, and thousands a point", () => {
    expect(format.withUncertainty(83.456, 1.94)).toBe("83,5\u00a0±\u00a01,9\u00a0%");
    expect(format.number(-1234567.8, 1)).toBe("\u22121.234.567,8");
    expect(format.number(1234, 0)).toBe("1234");
    expect(format.interval([79, 86])).toBe("79\u00a0a\u00a086\u00a0%");
    expect(format.coordinates(-22.3, -47.5)).toBe("\u221222.30000, \u221247.50000");
  });

  test("dates, ages, lists and winds", () => {
    const now = new Date("2026-03-12T12:00:00Z");
    expect(format.day(now)).toBe("12\u00a0de\u00a0mar.\u00a0de\u00a02026");
    expect(format.month("2026-02")).toBe("fev.\u00a0de\u00a02026");
    expect(format.shortDay(now)).toBe("12\u00a0mar.");
    expect(format.ago("2026-03-09T11:00:00Z", now)).toBe("há 3 dias");
    expect(format.ago("2026-03-12T11:59:30Z", now)).toBe("agora mesmo");
    expect(format.ago("2025-03-12T12:00:00Z", now)).toBe("em 12\u00a0de\u00a0mar.\u00a0de\u00a02025");
    expect(format.list(["Goiás", "Bahia", "Acre"])).toBe("Goiás, Bahia e Acre");
    expect([90, 225].map(format.bearing)).toEqual(["L", "SO"]);
    expect([1, 2].map((n) => format.count(n, "teste", "testes"))).toEqual(["1\u00a0teste", "2\u00a0testes"]);
  });
});

test("an engine without French locale data formats in English", async () => {
  const whole = Intl.NumberFormat;
  class WithoutFrench extends whole {
    constructor(locales: string[], options: Intl.NumberFormatOptions) {
      super(
        locales.filter((tag) => !tag.startsWith("fr")),
        options,
      );
    }
  }
  vi.resetModules();
  Intl.NumberFormat = WithoutFrench as typeof whole;
  const fresh = await import("@/i18n/format");
  await (await import("@/i18n")).speak("fr");
  expect(fresh.number(83.45, 2)).toBe("83.45");
  Intl.NumberFormat = whole;
});

describe("in Swedish", () => {
  beforeEach(() => speak("sv"));

  test("numbers have a comma, and thousands a space that does not break", () => {
    expect(format.withUncertainty(83.456, 1.94)).toBe("83,5\u00a0±\u00a01,9\u00a0%");
    expect(format.number(-1234567.8, 1)).toBe("\u22121\u00a0234\u00a0567,8");
    expect(format.number(1234, 0)).toBe("1234");
    expect(format.interval([79, 86])).toBe("79\u00a0till\u00a086\u00a0%");
    expect(format.coordinates(59.3, -2.5)).toBe("59.30000, \u22122.50000");
  });

  test("only one is singular", () => {
    expect([0, 1, 2].map((n) => format.count(n, "test", "tester"))).toEqual([
      "0\u00a0tester",
      "1\u00a0test",
      "2\u00a0tester",
    ]);
  });

  test("dates, ages, lists and winds", () => {
    const now = new Date("2026-03-12T12:00:00Z");
    expect(format.day(now)).toBe("12\u00a0mars\u00a02026");
    expect(format.month("2026-02")).toBe("feb.\u00a02026");
    expect(format.ago("2026-03-09T11:00:00Z", now)).toBe("för 3 dagar sedan");
    expect(format.ago("2026-03-12T11:59:30Z", now)).toBe("nyss");
    expect(format.ago("2025-03-12T12:00:00Z", now)).toBe("den 12\u00a0mars\u00a02025");
    expect(format.list(["Skåne", "Blekinge", "Halland"])).toBe("Skåne, Blekinge och Halland");
    expect([90, 225].map(format.bearing)).toEqual(["O", "SV"]);
  });
});
