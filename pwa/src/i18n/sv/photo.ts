import type { Labels } from "..";

/** Labels for marking a tube in a photo. */
export const photo: Labels["photo"] = {
  title: "Märk ut mätglaset på fotot",
  hint: "Dra varje kryss till sin plats på mätglasets mittlinje, eller välj ett och flytta det med pilarna.",
  marks: {
    bottom: "Nedersta märket",
    water: "Vattenmärket",
    fuel: "Bränslemärket",
    line: "Skiljelinjen",
  },
  choose: "Vilket märke",
  up: "Upp",
  down: "Ned",
  left: "Vänster",
  right: "Höger",
  nudge: (mark, way) => `${mark}: ${way === "Vänster" || way === "Höger" ? "åt " : ""}${way.toLowerCase()}`,
  at: (mark, x, y) => `${mark}, ${x} från vänster, ${y} uppifrån`,
  bottomVolume: "Volym vid nedersta märket",
  suggest: "Hitta linjen",
  searching: "Letar efter linjen…",
  noClearLine: "Ingen tydlig linje på fotot. Låt det skikta sig längre, eller ta fotot mot en ljus, jämn bakgrund.",
  suggestHint: "Letar mellan vattenmärket och bränslemärket när de två är på plats.",
  suggested: "Hittad. Kontrollera att krysset är på linjen, flytta det annars.",
  reads: (volume, half) => `Fotot ger ${volume} ± ${half}.`,
  take: "Använd avläsningen",
  back: "Lämna fotot utan märken",
  unreadable: "Fotot går inte att visa. Ta ett nytt.",
};

/** Labels for the camera with the outline of a tube. */
export const guide: Labels["guide"] = {
  open: "Foto med kontur",
  title: "Foto med kontur",
  picture: "Det kameran ser, med mätglasets kontur ovanpå",
  hint: (bottom, water, fuel) =>
    `Håll telefonen rakt, i höjd med linjen, med de tre strecken på ${bottom}, ${water} och ${fuel}.`,
  torch: "Lampa",
  narrower: "Smalare",
  wider: "Bredare",
  take: "Ta fotot",
  back: "Stäng kameran",
  refused:
    "Kameran går inte att använda här. Ta ett foto med knappen nedanför, eller tillåt kameran i webbläsarens inställningar.",
  line: "Linjen, förstorad",
  mark: (volume: string) => `Märket vid ${volume}, förstorat`,
  look: "Kontrollera att strecken ligger på linjen, och nedanför på märkena.",
  fitted: "Märkena har anpassats till den tryckta skalan.",
  check:
    "Kontrollera märkena: appen kunde inte läsa den tryckta skalan. Sätt märkena för hand om något inte ligger mellan sina streck.",
  use: "Använd avläsningen",
  useHeld: "Märkena stämmer: använd avläsningen",
  byHand: "Sätt märkena för hand",
  again: "Ta om fotot",
  leave: "Behåll fotot, läs av med ögat",
};

/** Labels for how level the phone is held. */
export const level: Labels["level"] = {
  ask: "Visa telefonens lutning",
  level: "I våg",
  held: (tilt: string, up: boolean, turned: string) =>
    `Kameran pekar ${tilt}° ${up ? "uppåt" : "nedåt"}, vriden ${turned}°`,
};
