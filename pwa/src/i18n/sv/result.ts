import type { Labels } from "..";

/** Labels of a result: what it is, what it means, how it was computed and what makes it uncertain. */
export const result: Labels["result"] = {
  title: "Resultat",
  live: "Resultatet kommer här efter den första avläsningen.",
  content: "Etanol, volymprocent",
  coverage: (interval) => `Med 95 % sannolikhet är den sanna halten ${interval}.`,
  contradicted: "Mätningarna eller skikten säger emot varandra, så lita inte på ± än.",
  span: "Skalans typ är okänd, därför visas halten som ett intervall.",
  account: "Så räknade vi, och så osäkert är det",
  how: "Så räknade vi",
  asRead: "Okorrigerat",
  asReadAt: (line) => `Okorrigerat, linjen vid ${line}`,
  total: "Etanolhalt",
  step: {
    shrinkage: "Etanol och vatten krymper",
    temperature: "Temperatur på vatten, bränsle och mätglas",
    fuel_water: "Vatten som redan finns i bränslet",
    method: "Formel för saltlösning (NBR 13992)",
    calibration: "Mätglasets vägda märken",
    exchange: "Utbyte mellan skikten",
    tube_offset: "Mätglasets kända avvikelse",
  },
  exchangeBasis:
    "Utbyte mellan skikten: lite bensin löser sig i det nedre, lite etanol stannar i det övre. Det är en uppskattning från publicerade lösligheter; ingen har publicerat försök över 30 %.",
  exchangeNone: "Inget dras av för utbytet mellan skikten: med saltlösning är det okänt.",
  alcohols:
    "Etanol och andra alkoholer: mätglaset ser ingen skillnad. ASTM D5798 tillåter högst 0,5 % metanol och 2 % högre alkoholer, så upp till 2,5 procentenheter kan vara något annat än etanol.",
  runs: "Varje mätning för sig",
  run: (number) => `Mätning ${number}`,
  runAside: (number, why) => `Mätning ${number}, struken: ${why}`,
  byTop: (content) => `${content} efter bränslets överkant`,
  layersAgree: ", vilket stämmer med linjen.",
  layersDiffer: ", vilket inte stämmer med linjen.",
  parts: "Det som gör det osäkert",
  largest: (part, points) => `Den största delen: ${part.toLowerCase()}, ensam ${points}.`,
  act: {
    know_scale: (left) => `Om du visste vilken typ av skala det är: ± ${left} %.`,
    calibrate_tube: (left) => `Om du väger mätglasets märken: ± ${left} %.`,
    measure_temperature: (left) => `Med uppmätta temperaturer: ± ${left} %.`,
    one_more_run: (left) => `Med en mätning till: ± ${left} %.`,
    read_finer: (left) => `Om du läser av linjen dubbelt så fint, kanske på ett foto: ± ${left} %.`,
    finer_tube: (left) => `Med ett mätglas med hälften så stora skaldelar: ± ${left} %.`,
    other_filling: (left, water, fuel) => `Med ${water} vatten och ${fuel} bränsle: ± ${left} %.`,
  },
  guessed: (degrees, points) =>
    `Temperaturen är uppskattad: ${degrees} varmare i mätglaset skulle ändra halten med ${points} procentenheter.`,
  partsHint: "Varje dels eget bidrag, i procentenheter vid 95 %. De adderas kvadratiskt.",
  scope: {
    run: (letters) => `${letters} fylld: ny i varje mätning, så fler mätningar hjälper`,
    tube: (letters) =>
      `${letters} randig: samma i varje mätning med det här mätglaset; ett annat mätglas hjälper, eller att lära känna det här`,
    all: (letters) =>
      `${letters} prickig: samma i varje test; det hjälper att mäta temperaturerna och fråga efter bränslets vattenhalt, men mot utbytet mellan skikten bara en bättre tabell`,
  },
  component: {
    water_fill: "Påfyllning av vatten",
    fuel_fill: "Påfyllning av bränsle",
    line: "Avläsning av linjen",
    marks: "Mätglasets märken",
    calibration: "Vägning av märkena",
    temperature: "Mätglasets temperatur",
    water_temperature: "Vattnets temperatur",
    fuel_temperature: "Bränslets temperatur",
    fuel_water: "Vatten i bränslet",
    exchange: "Utbyte mellan skikten",
    tube_offset: "Mätglasets kända avvikelse",
    scale_kind: "Typ av skala",
    scatter: "Spridning mellan mätningarna",
  },
  warning: {
    layers_disagree:
      "Skikten går inte ihop: fel påfyllning, läckage, avdunstning eller ett grumligt skikt. Gör om mätningen.",
    runs_disagree: "De två mätningarna skiljer sig mer än avläsningen kan förklara. Gör en tredje: medianen används.",
    median_counts: "Mätningarna skiljer sig mer än avläsningen kan förklara, så medianen används.",
    scale_unknown: "Skalans typ är okänd, så resultatet täcker båda. Jämför hur höga skaldelarna är, så får du veta.",
    check_scale_kind: "Det här är mer än någon bränslestandard tillåter. Kontrollera först vilken skala mätglaset har.",
    would_freeze: "Vid den här temperaturen skulle det nedre skiktet vara is. Stämmer temperaturen?",
  },
  grown: (apart, now, without) =>
    `Det skiljer ${apart} procentenheter mellan mätningarna. Därför blir ± ${now} procentenheter; om de stämde överens vore det ungefär ${without}.`,
  minimum: (probability, minimum) => `Sannolikhet att bränslet når ditt minimum på ${minimum}: ${probability}.`,
  verdict: {
    inside: (name) => `Inom det ${name} tillåter.`,
    below: (name) => `Under det ${name} tillåter.`,
    above: (name) => `Över det ${name} tillåter.`,
    cannot_tell: (name) => `Går inte att avgöra: för nära en gräns i ${name}.`,
  },
  points: (amount) => `± ${amount} %-enheter`,
  limit: { atLeast: "minst", atMost: "högst", above: "över", to: "till" },
  fault: "Ingen halt passar med siffrorna. Kontrollera märkena, påfyllningen och linjen.",
};
