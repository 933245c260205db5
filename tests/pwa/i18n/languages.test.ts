// @vitest-environment happy-dom
// The map library needs a window when it is imported.
import sentences from "@constants/checking/wording.json";
import { LANGUAGES, type Labels, type Language, labels, language, languageFor, speak, tagOf } from "@/i18n";
import * as first from "@/i18n/en";
import * as rest from "@/i18n/en/en-rest";
import { badType, differences, english as inEnglish, leaves, places, texts, untranslated } from "./compare";

/** Names and units that are the same in every language. */
const ALIKE = ["Splitline", "NE", "SE", "kg/kg", "kg/L", "min", "MJ/L", "mm", "‹0› MB", "‹0› GB"];

/** Words that happen to be the same as in English. */
const ALIKE_IN: Record<string, readonly string[]> = {
  fr: [
    ...["Distance", "Latitude", "Longitude", "Latitude, longitude", "Licence", "Photo ‹0›", "litres", "Millilitres"],
    ...["Note", "Notes", "Photo", "Photos", "photo", "photos", "plan", "plans", "Position", "Signal", "Volume"],
    ...["Station", "Stations", "station", "stations", "miles", "points", "‹0› points", "± ‹0› points"],
  ],
  pt: ["Latitude", "Longitude", "Sensor", "Volume", "hertz"],
  sv: [
    ...["Test", "test", "Pump", "pump", "Tank", "tank", "Station", "station", "Region", "Region: ‹0›", "Position"],
    ...["Signal", "Status", "Server", "plan", "hertz", "US gal", "Btu/US gal"],
  ],
};

/** Words with which a language could call a fuel safe or harmless. */
const PROMISES: readonly RegExp[] = [
  /\bsafe(ly)?\b|\bharmless\b/i,
  /sans (danger|risque)|inoffensi|en (toute )?sécurité/i,
  /\bsegur[oa]s?\b|inofensiv|sem (perigo|risco)/i,
  /ofarlig|riskfri/i,
];

const pieces = import.meta.glob<object>("../../../pwa/src/i18n/*/{index,*-rest}.ts", { eager: true });
const folders = [...new Set(Object.keys(pieces).map((path) => path.split("/").at(-2)))];
const treeOf = (one: Language) => {
  const [start, further] = [`/${one}/index.ts`, `/${one}/${one}-rest.ts`].map((end) =>
    Object.entries(pieces).find(([path]) => path.endsWith(end)),
  );
  return { ...start?.[1], ...further?.[1] } as Labels;
};
const english: Labels = { ...first, ...rest };
const OTHERS = LANGUAGES.filter((one) => one !== "en");

it("every language folder is a language that can be chosen", () => {
  expect(folders.sort()).toEqual([...LANGUAGES].sort());
  expect(OTHERS.length).toBeGreaterThan(1);
});

describe.each(OTHERS)("%s is complete", (one) => {
  it("has the same labels as English, of the same kind, with the same placeholders", () => {
    expect(leaves(english).size).toBeGreaterThan(500);
    expect(differences(english, treeOf(one))).toEqual([]);
  });

  it("leaves nothing untranslated except words that are the same", () => {
    expect(untranslated(english, treeOf(one), [...ALIKE, ...(ALIKE_IN[one] ?? [])])).toEqual([]);
    expect(inEnglish(treeOf(one))).toEqual([]);
  });
});

describe.each(LANGUAGES)("%s", (one) => {
  it("has a sentence for each server code", () => {
    expect(Object.keys(treeOf(one).problems).sort()).toEqual(Object.keys(sentences).sort());
  });

  it("follows its typographic rules", () => {
    expect(badType(treeOf(one), one)).toEqual([]);
  });

  it("never calls a fuel safe", () => {
    // About resending, not about fuel.
    const said = texts({ ...treeOf(one), problems: { ...treeOf(one).problems, internal: "" } });
    expect(said.filter((text) => PROMISES.some((promise) => promise.test(text)))).toEqual([]);
  });
});

describe("the comparison finds deliberate faults", () => {
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

  it("finds untranslated functions whatever their arguments", () => {
    expect(untranslated(whole, { ...whole, b: { c: (x: string) => `deux ${x}` } })).toEqual(["one", "{value} is high"]);
    expect(untranslated(whole, whole, ["one", "{value} is high"])).toContain("two ‹0›");
    expect(untranslated({ a: "5 mm" }, { a: "5\u00a0mm" })).toEqual(["5 mm"]);
    const minutes = (said: string) => ({ a: (n: number) => (n === 1 ? "1 minute left" : `${n} ${said}`) });
    expect(untranslated(minutes("minutes left"), minutes("minutos"))).toEqual(["1 minute left"]);
    const ways = (up: string) => ({ a: (way: string) => (way === "up" ? up : "baisse") });
    expect(untranslated(ways("rose"), ways("rose")).sort()).toContain("rose");
    expect(untranslated(ways("rose"), ways("subiu"))).not.toContain("rose");
    expect(inEnglish({ a: "Leia the line", b: (n: number) => (n === 2 ? "dos and more" : "x"), c: "leia" })).toEqual([
      "Leia the line",
      "dos and more",
    ]);
    expect(places("{a} ‹0› {a}")).toEqual(["{a}", "‹0›"]);
  });

  it("finds wrong typography in French", () => {
    const bad = { a: "Oui ?", b: "Oui?", c: "l'eau", d: "5 %", e: "« x »", f: "Nom : x", g: "Nom: x" };
    expect(badType(bad, "fr")).toHaveLength(7);
    const good = { a: "Oui\u00a0?", b: "l’eau à 5\u00a0%", c: "«\u00a0x\u00a0»", d: "https://a.b à 12:00" };
    expect(badType(good, "fr")).toEqual([]);
  });

  it("finds French typography in other languages", () => {
    const bad = {
      a: "Sim ?",
      b: "Sim\u00a0?",
      c: "d'água",
      d: "5 %",
      e: "5%",
      f: (x: string) => `${x} %`,
      g: "Nome : x",
    };
    expect(badType(bad, "pt")).toHaveLength(7);
    expect(badType({ a: "Sim?", b: "d’água a 5\u00a0%", c: "Nome: x", d: "% ± ?", e: "% (V/V)" }, "pt")).toEqual([]);
  });
});

describe("the current language", () => {
  it.each<[string | null, string[], Language]>([
    [null, ["fr-CA", "en-GB"], "fr"],
    [null, ["de-DE", "FR"], "fr"],
    [null, ["de-DE", "it"], "en"],
    [null, ["pt-BR", "en-US"], "pt"],
    [null, ["pt"], "pt"],
    [null, ["de-DE", "PT-pt", "fr"], "pt"],
    ["pt", ["fr-FR"], "pt"],
    [null, [], "en"],
    ["en", ["fr-FR"], "en"],
    ["fr", ["en-GB"], "fr"],
    ["xx", ["fr-FR"], "fr"],
    [null, ["", "c", "en-US-posix@x"], "en"],
  ])("chosen %s, of a phone set to %s, is %s", (chosen, preferred, spoken) => {
    expect(languageFor(chosen, preferred)).toBe(spoken);
  });

  it("changes the labels that are read afterwards", async () => {
    for (const next of LANGUAGES) {
      await speak(next);
      expect(language.value).toBe(next);
      expect(labels).toEqual(treeOf(next));
    }
  });

  it.each(["first", "last"])("is complete once its second file has loaded, which was requested %s", async (asked) => {
    vi.resetModules();
    const fresh = await import("@/i18n");
    await fresh.speak("en");
    expect(Object.keys(fresh.labels).sort()).toEqual(Object.keys(first).sort());
    const [rest, french] = [() => fresh.speakInFull(), () => fresh.speak("fr")];
    await Promise.all((asked === "first" ? [rest, french] : [french, rest]).map((ask) => ask()));
    expect(fresh.labels.log.title).toBe(treeOf("fr").log.title);
    await fresh.speak("sv");
    expect(differences(treeOf("sv"), fresh.labels)).toEqual([]);
  });

  it("has the tag that browsers know", () => {
    const tags = LANGUAGES.map(tagOf);
    expect(tags).toEqual(expect.arrayContaining(["en", "fr", "pt-BR"]));
    expect(Intl.getCanonicalLocales(tags)).toEqual(tags);
    expect(tags.map((tag) => languageFor(tag, []))).toEqual(LANGUAGES);
  });

  it("is not loaded while the screens load", async () => {
    vi.resetModules();
    const { labels: none } = await import("@/i18n");
    expect(none).toBeUndefined();
    const screens = import.meta.glob("../../../pwa/src/{shell,screens,widgets}/**/*.tsx");
    expect(Object.keys(screens).length).toBeGreaterThan(50);
    for (const load of Object.values(screens)) await load();
    // Loads every screen, which takes time on a busy machine.
  }, 120_000);
});
