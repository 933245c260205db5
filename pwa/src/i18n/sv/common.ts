import type { Labels } from "..";

/** Labels used in more than one place. */
export const common: Labels["common"] = {
  name: "Splitline",
  description: "Mät med ett mätglas hur mycket etanol bränslet innehåller, och se vilken station som håller jämn halt.",
  skip: "Till innehållet",
  bar: "Huvudmeny",
  places: { test: "Test", sources: "Stationer", fuel: "Bränsle", log: "Logg" },
  opening: "Öppnar…",
  absent: "Den här delen av appen är inte laddad än. Det du har sparat finns kvar. Försök igen, helst med uppkoppling.",
  demo: "Påhittade demodata. Ingen av stationerna finns på riktigt.",

  insecure: "Adressen är inte https. Appen kan varken ligga kvar på telefonen eller skicka något.",
  unsent: (records) => `Inte skickat än: ${records}`,
  record: "post",
  records: "poster",
  test: "test",
  tests: "tester",
  parked: (records) => `Avvisat av servern: ${records}`,
  parkedLook: "Se i loggen",
  exchanging: "Synkar med servern…",
  exchanged: (ago) => `Senast synkat ${ago}`,
  neverExchanged: "Inte synkat än",
  troubled: (why) => `Senaste försöket misslyckades: ${why}`,
  trouble: {
    no_answer: "servern svarar inte",
    too_slow: "servern tog för lång tid på sig",
    not_understood: "svaret gick inte att tolka",
    not_admitted: "servern godtog inte telefonens hemliga nyckel",
    server_fault: "det är fel på servern",
    refused: "servern avvisade begäran",
  },
  answerUnknown: (word) =>
    `Servern svarade ”${word}”, som den här versionen inte känner till. Ladda en nyare version av appen och försök igen.`,

  clock: {
    behind: (span) => `Telefonens klocka går ${span} efter serverns.`,
    ahead: (span) => `Telefonens klocka går ${span} före serverns.`,
    what: "Testerna får fel tid. Ställ in rätt datum och tid i telefonen. Det du sparar innan dess kan du rätta i loggen.",
  },

  updateReady: "Det finns en ny version.",
  updateTake: "Ladda den nu",
  updateLater: "Den laddas när mätglaset har skiktat sig och du säger ja.",

  moved: {
    what: (tests) =>
      `Bättre beräkning: ${tests} av dina har räknats om. Den räknar in bensinen som starkt bränsle lämnar kvar i vattnet och värmen när de blandas. Med hälften av varje i mätglaset visar starkt bränsle därför ungefär en procentenhet lägre.`,
    largest: (before, after) =>
      `Den största ändringen: ${before} blev ${after}. Varje test visar fortfarande sitt gamla resultat.`,
  },

  storage: {
    old_tab: "Splitline är öppen i en annan flik, i en äldre version. Stäng den fliken för att fortsätta.",
    new_tab: "En annan flik har laddat en nyare version. Ladda om den här. Det påbörjade testet finns kvar.",
    lost: "Telefonens lagring svarar inte. Låt sidan vara öppen och ladda sedan om den.",
    full: "Telefonens lagring är nästan full. Ta bort foton som också finns på servern, i inställningarna.",
  },
  storageLook: "Inställningar",
  loadAgain: "Ladda om",
  evictionTitle: "Inte på hemskärmen",
  eviction:
    "Safari kan radera det som sidan har sparat om du inte öppnar den på några veckor. Lägg den på hemskärmen, eller spara återställningsfilen.",
  evictionUnsent: (records) => `Då försvinner ${records}.`,
  evictionSave: "Återställningsfil",
  failed: (what) => `Det gick inte (${what}). Försök en gång till.`,
  understood: "Jag förstår",

  faultTitle: "Sidan har slutat fungera",
  faultBody: "Det du har sparat finns kvar, det påbörjade testet också.",
  faultAgain: "Försök igen",
  faultRepair: "Installera om appen",
  repairTitle: "Installera om appen",
  repairBody:
    "Tar bort appens program från telefonen och laddar det på nytt från servern. Tester, stationer, mätglas och det påbörjade testet finns kvar. Du behöver uppkoppling.",
  repairAct: "Ta bort och ladda på nytt",
  repairOffline: "Servern svarar inte. Försök igen när du har uppkoppling. Tills dess fungerar appen som den är.",
  lost: "Det finns inget på den här adressen.",
  back: "Tillbaka",
  choose: "Välj något i listan, så visas det här.",
};
