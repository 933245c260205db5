import type { Labels } from "..";

/** Labels for sharing a result: on the picture, and in the text with it. */
export const passOn: Labels["passOn"] = {
  title: "Skicka vidare",
  show: "Skicka vidare som bild",
  hint: "Inget lämnar telefonen innan du skickar det. Stationen syns, men inte ditt namn.",
  send: "Skicka bild och text",
  save: "Spara bilden",
  copy: "Kopiera texten",
  sent: "Skickat.",
  saved: "Bilden är sparad.",
  copied: "Texten är kopierad.",
  copyFault: "Texten gick inte att kopiera. Markera den och kopiera för hand.",
  drawFault: "Den här webbläsaren kunde inte rita bilden. Texten nedanför säger samma sak.",
  sendFault: "Det gick inte att skicka. Spara bilden i stället.",

  content: "Etanol, volymprocent",
  reading: (content) => `Etanolhalt ${content} (volym)`,
  coverage: (interval) => `Med 95 % sannolikhet är den sanna halten ${interval}.`,
  span: "Skalans typ är okänd, därför visas halten som ett intervall.",
  contradicted: "Mätningarna eller skikten säger emot varandra, så lita inte på ± än.",
  sampled: { pump: "Från pumpen", can: "Från en dunk", tank: "Från en tank" },
  when: (sampled, moment) => `${sampled}, ${moment}`,
  runs: (count) => `${count}, avläst med ögat eller på foto`,
  run: "mätning",
  manyRuns: "mätningar",
  corrected: (scale, read, change) => `${scale}: ${read} före korrigering med ${change} procentenheter`,
  caution: "Ett mätglas mäter halten, inget annat. Om en motor tål bränslet kan det inte säga.",
  cautionFire: "Bränsle och bränsleångor antänds lätt. Följ lokala regler och säkerhetsdatabladet.",
};
