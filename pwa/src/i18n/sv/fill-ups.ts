import type { Labels } from "..";

/** Labels of the fill-ups: what went in, what the sensor showed, what the tank should contain. */
export const fillUps: Labels["fillUps"] = {
  title: "Tankningar",
  enter: "Lägg in en tankning",
  one: "tankning",
  many: "tankningar",
  none: "Inga tankningar än.",
  before: "I tanken innan",
  beforeHint: "Det bränslemätaren visade.",
  beforeUnknown: "Utan det kan appen inte räkna ut vad tanken borde innehålla.",
  volumeMissing: "Skriv in hur mycket du tankade.",
  where: "Tankat vid",
  content: "Halt från",
  typed: "inskriven, eller okänd",
  estimate: (reading) => `uppskattning för nästa tankning: ${reading}`,
  sensor: "Det sensorn visar",
  sensorHint:
    "Kör några minuter först: det nya bränslet måste hinna fram till den. Du kan också skriva in värdet senare under Kontrollera sensorn.",
  note: "Anteckning",
  noteHint: "Vatten du såg, ett pris, något konstigt.",
  save: "Spara tankningen",
  saved: "Tankningen är sparad.",
  removed: "Tankningen är borttagen. Tanken är kvar som du lade in den.",
  remove: "Ta bort",
  put: (volume, name) => (name ? `${volume} från ${name}` : volume),
  from: { test: "från ett test", estimate: "uppskattad, inte testad", typed: "inskriven, inte testad" },
  unknown: "okänd halt",
  water: (share) => `räknat med ${share} vatten i bränslet`,
  held: (volume, reading) => `Efteråt borde tanken ha ${volume} med ${reading}.`,
  heldUnknown: "Appen kan inte räkna ut vad tanken innehöll efteråt.",
  sensed: (reading) => `Sensorn: ${reading}.`,
  within: (difference) => `Avvikelse ${difference}: de två osäkerheterna tillsammans förklarar den.`,
  outside: (difference) => `Avvikelse ${difference}: mer än de två osäkerheterna tillsammans förklarar.`,
  points: "procentenheter",
  chart: (many) => `Det tanken borde innehålla efter ${many}, och det sensorn visade.`,
  key: "Fyllda cirklar: beräknat. Tomma kvadrater: sensorn. Staplar: ± vid 95 %.",
  withFill: (day) => `Spara med tankningen den ${day}`,
  withFillDone: "Sparat med tankningen.",
  drift: {
    sensor: (times, differences) =>
      `${times} i rad avvek sensorn mer än de två osäkerheterna tillsammans förklarar: ${differences}. Den kan ha börjat visa fel, eller så var bränslet inte det du lade in. Testa tanken.`,
    station: (times, differences, name) =>
      `${times} i rad, efter tankning vid ${name}, avvek sensorn mer än de två osäkerheterna tillsammans förklarar: ${differences}. Med annat bränsle stämde den. Bränslet från ${name} är kanske inte det du lade in. Testa det.`,
    either: (times, differences, name) =>
      `${times} i rad, efter tankning vid ${name}, avvek sensorn mer än de två osäkerheterna tillsammans förklarar: ${differences}. Det säger inte om sensorn visar fel eller om bränslet är ett annat. Testa tanken.`,
  },
  time: "gång",
  times: "gånger",
};
