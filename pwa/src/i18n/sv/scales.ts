import type { Labels } from "..";

/** The kinds of scale: what each is called, how one knows it, and how a result read on it begins where it is passed on. */
export const scales: Labels["scales"] = {
  volume: {
    label: "Milliliter",
    hint: "Vanliga skaldelar, till exempel 0 till 100 mL.",
    passedOn: "Avläst i milliliter",
  },
  linear: {
    label: "Procent, jämna steg",
    hint: "Alla steg är lika höga. En sådan skala räknar inte med att etanol och vatten krymper när de blandas; appen korrigerar för det.",
    passedOn: "Avläst på en procentskala med jämna steg",
  },
  corrected: {
    label: "Procent, krympningen inräknad",
    hint: "Stegen blir högre eller lägre längs mätglaset, eller så säger tillverkaren att skalan visar själva etanolhalten.",
    passedOn: "Avläst på en procentskala som räknar med krympningen",
  },
  unknown: {
    label: "Procent, okänd typ",
    hint: "Tills du vet visas resultatet som ett intervall, ungefär 6 procentenheter brett vid 85 %.",
    passedOn: "Avläst på en procentskala av okänd typ",
  },
};
