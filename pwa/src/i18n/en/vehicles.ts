/** Labels of the vehicles: which is in use, what belongs to it. */
export const vehicles = {
  choose: "Vehicle",
  offered: (number: number) => `Vehicle ${number}`,
  one: "vehicle",
  many: "vehicles",
  change: "Vehicle details",
  add: "Add a vehicle",
  newTitle: "Add a vehicle",
  name: "Vehicle name",
  nameHint: "Whatever you call it: make, colour, owner.",
  sensor: "It has an ethanol sensor",
  minimum: "Minimum ethanol",
  minimumHint: "What its tune needs. Leave blank if it has none.",
  save: "Save this vehicle",
  remove: "Remove this vehicle",
  removed: (name: string) => `${name} removed.`,
  minimumOf: (name: string) => `Minimum of ${name}. Switch vehicles under Fuel.`,
  enough: (name: string, probability: string, minimum: string) =>
    `${name}: ${probability} likely to meet its ${minimum} minimum.`,
};
