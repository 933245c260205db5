import type { Labels } from "..";

/** Labels of the vehicles: which is in use, what belongs to it. */
export const vehicles: Labels["vehicles"] = {
  choose: "Fordon",
  offered: (number) => `Fordon ${number}`,
  one: "fordon",
  many: "fordon",
  change: "Om fordonet",
  add: "Lägg till ett fordon",
  newTitle: "Lägg till ett fordon",
  name: "Fordonets namn",
  nameHint: "Det du kallar det: märke, färg, ägare.",
  sensor: "Det har en etanolsensor",
  minimum: "Lägsta etanolhalt",
  minimumHint: "Halten som mappningen kräver. Lämna tomt om den inte kräver någon.",
  save: "Spara fordonet",
  remove: "Ta bort fordonet",
  removed: (name) => `Fordonet är borttaget: ${name}.`,
  minimumOf: (name) => `Det är minimum för ${name}. Byt fordon under Bränsle.`,
  enough: (name, probability, minimum) => `${name}: ${probability} sannolikhet att bränslet når minimum på ${minimum}.`,
};
