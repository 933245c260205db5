import type { Labels } from "..";

/** Labels for entering a station. */
export const sourceForm: Labels["sourceForm"] = {
  title: "Lägg till en station",
  editTitle: "Ändra stationen",
  name: "Namn",
  nameHint: "Som på skylten, plus orten.",
  nameFault: "Ge stationen ett namn så att andra hittar den.",
  pump: "Pump",
  pumpHint: "Numret eller märkningen, om det finns fler än en.",
  where: "Var ligger den?",
  here: "jag är där",
  typed: "skriv in",
  later: "senare",
  howFault: "Välj hur du anger positionen.",
  hereFault: "Använd telefonens position, skriv in den, eller lämna den till senare.",
  look: "Använd min position",
  lookAgain: "Sök igen",
  looking: "Söker…",
  found: (position) => `Hittad: ${position}`,
  trouble: {
    refused: "Telefonen ger inte sidan sin position. Tillåt det i webbläsarens inställningar, eller skriv in den.",
    unavailable: "Telefonen har ingen position just nu. Skriv in den, eller lämna den till senare.",
    timeout: "Telefonen hittade ingen position i tid. Försök igen under bar himmel, eller lämna den till senare.",
  },
  known: "Är det någon av de här?",
  knownHint:
    "De ligger inom 150 m, eller inom 1 km med ett liknande namn. En känd station behöver inte läggas in igen.",
  position: "Latitud, longitud",
  positionHint: "Grader med decimaler, som 45.30120, 2.51440.",
  typedFault: "Det är inte två tal i grader. Skriv latitud, komma, longitud: 45.30120, 2.51440.",
  laterHint: "Testerna sparas på telefonen och skickas när stationen har en position.",
  notes: "Anteckningar",
  notesHint: "Det som hjälper andra att hitta dit eller är bra att veta om pumpen. Andra kan läsa det.",
  save: "Spara stationen",
  back: "Tillbaka",
};
