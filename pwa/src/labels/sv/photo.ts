import type { Labels } from "..";

/** The words for marking a tube in a photo. */
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
