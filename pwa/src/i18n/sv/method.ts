import type { Labels } from "..";

/** Labels of the page that explains the test in five pictures. */
export const method: Labels["method"] = {
  title: "Så gör du ett test",
  lead: "Vattnet drar etanolen ur bränslet. Det nedre skiktet växer, och linjen mellan skikten visar hur mycket etanol det fanns.",
  skip: "Hoppa över",
  begin: "Börja testa",
  open: "Så gör du ett test",
  steps: [
    {
      title: "Ta provet utomhus",
      text: "Ställ dunken på marken och håll pistolen mot den. Ingen öppen låga, ingen laddare, ingen motor igång.",
    },
    {
      title: "Vatten till sitt märke",
      text: "Ögat i höjd med märket. Läs av vid meniskens lägsta punkt.",
    },
    {
      title: "Bränsle ovanpå, till sitt märke",
      text: "Häll långsamt. Notera temperaturen i mätglaset.",
    },
    {
      title: "Stäng, vänd tio gånger, släpp trycket",
      text: "Långsamt och hela vägen runt. Öppna sedan lite, med ansiktet undan: det har bildats tryck.",
    },
    {
      title: "Låt det skikta sig, läs av linjen",
      text: "Tio minuter upprätt, sedan ögat i höjd med linjen där skikten möts. Två mätningar, sedan resultatet.",
    },
  ],
  result:
    "En tryckt skala kan visa 6 procentenheter fel, eftersom etanol och vatten krymper när de blandas. Appen räknar ut halten och hur osäker den är.",
};
