// @vitest-environment happy-dom
// A map's library wants a window as soon as it is loaded.
import sentences from "@constants/checking/wording.json";
import { LANGUAGES, type Language, labels, language, languageFor, speak } from "@/labels";
import { labels as english } from "@/labels/en";
import { labels as french } from "@/labels/fr";
import { badType, differences, leaves, places, textOf, untranslated } from "./compare";

/** Names, units and words that both languages write alike. */
const ALIKE = [
  ...[
    "Splitline",
    "Distance",
    "Latitude",
    "Longitude",
    "Latitude, longitude",
    "Licence",
    "Photo ‹0›",
    "litres",
    "Millilitres",
    "miles",
    "Note",
    "Notes",
    "Photo",
    "Photos",
  ],
  ...["Station", "Stations", "station", "stations"],
  ...["photo", "photos", "plan", "plans", "Position", "Signal", "Volume", "points", "‹0› points"],
  ...["NE", "SE", "kg/kg", "kg/L", "min", "MJ/L", "mm"],
];

describe("both languages say everything", () => {
  it("have the same labels, of the same kind, that fill in the same", () => {
    expect(leaves(english).size).toBeGreaterThan(500);
    expect(differences(english, french)).toEqual([]);
  });

  it("leave nothing in English but what is written alike", () => {
    expect(untranslated(english, french).filter((text) => !ALIKE.includes(text))).toEqual([]);
  });

  it("have one sentence for each code of the server", () => {
    const codes = Object.keys(sentences).sort();
    for (const { problems } of [english, french]) expect(Object.keys(problems).sort()).toEqual(codes);
  });

  it("keep the type of French", () => {
    expect(badType(french)).toEqual([]);
  });

  it("never call a fuel safe", () => {
    const said = [...leaves(english), ...leaves(french)].map(([, leaf]) => textOf(leaf));
    const promised = /\bsafe(ly)?\b|\bharmless\b|sans (danger|risque)|inoffensi|en (toute )?sécurité/i;
    const ofSending = [english.problems.internal, french.problems.internal];
    expect(said.filter((text) => promised.test(text) && !ofSending.includes(text))).toEqual([]);
  });
});

describe("the comparison bites", () => {
  const whole = { a: "one", b: { c: (x: string) => `two ${x}` }, d: "{value} is high" };

  it.each([
    [{ ...whole, a: undefined }, "a is string in the first, undefined in the second"],
    [{ b: whole.b, d: whole.d }, "a is missing"],
    [{ ...whole, e: "more" }, "e is only in the second"],
    [{ ...whole, a: "" }, "a is empty in one of them"],
    [{ ...whole, b: { c: () => "deux" } }, "b.c takes other arguments"],
    [{ ...whole, b: { c: (_: string) => "deux" } }, "b.c fills in ‹0› in the first,  in the second"],
    [{ ...whole, d: "trop haut" }, "d fills in {value} in the first,  in the second"],
  ])("names what is wrong", (broken, told) => {
    expect(differences(whole, broken)).toEqual([told]);
  });

  it("finds what was not translated, and type that is not French", () => {
    expect(untranslated(whole, { ...whole, a: "un" })).toEqual(["two ‹0›", "{value} is high"]);
    expect(
      badType({ a: "Oui ?", b: "Oui?", c: "l'eau", d: "5 %", e: "« x »", f: "Nom : x", g: "Nom: x" }),
    ).toHaveLength(7);
    expect(badType({ a: "Oui\u00a0?", b: "l’eau à 5\u00a0%", c: "«\u00a0x\u00a0»", d: "https://a.b à 12:00" })).toEqual(
      [],
    );
    expect(places("{a} ‹0› {a}")).toEqual(["{a}", "‹0›"]);
  });
});

describe("the language that is spoken", () => {
  it.each<[string | null, string[], Language]>([
    [null, ["fr-CA", "en-GB"], "fr"],
    [null, ["de-DE", "FR"], "fr"],
    [null, ["de-DE", "pt"], "en"],
    [null, [], "en"],
    ["en", ["fr-FR"], "en"],
    ["fr", ["en-GB"], "fr"],
    ["xx", ["fr-FR"], "fr"],
    [null, ["", "c", "en-US-posix@x"], "en"],
  ])("chosen %s, of a phone set to %s, is %s", (chosen, preferred, spoken) => {
    expect(languageFor(chosen, preferred)).toBe(spoken);
  });

  it("changes the labels for whoever reads them then", async () => {
    for (const next of LANGUAGES) {
      await speak(next);
      expect(language.value).toBe(next);
      expect(labels).toBe(next === "fr" ? french : english);
    }
  });

  it("is not asked for while the screens are loaded", async () => {
    vi.resetModules();
    const { labels: none } = await import("@/labels");
    expect(none).toBeUndefined();
    const screens = import.meta.glob("../../../pwa/src/{shell,screens,parts}/**/*.tsx");
    expect(Object.keys(screens).length).toBeGreaterThan(50);
    for (const load of Object.values(screens)) await load();
    // Loads every screen, which takes long on a busy machine.
  }, 120_000);
});
