/** The words of the vehicles: which is in use, what belongs to it. */
export const vehicles = {
  choose: "Vehicle",
  offered: (number: number) => `Vehicle ${number}`,
  one: "vehicle",
  many: "vehicles",
  change: "Vehicle details",
  add: "Add a vehicle",
  newTitle: "Add a vehicle",
  name: "Name of the vehicle",
  nameHint: "As you call it: make, colour, whose it is.",
  sensor: "It has an ethanol sensor",
  minimum: "Its minimum",
  minimumHint: "The ethanol content its tune asks for. Leave it empty if there is none.",
  save: "Save this vehicle",
  remove: "Remove this vehicle",
  removed: (name: string) => `${name} removed.`,
  minimumOf: (name: string) => `This is the minimum of ${name}. You choose the vehicle under Fuel.`,
  enough: (name: string, probability: string, minimum: string) =>
    `${name}: at or above its minimum of ${minimum} with a probability of ${probability}.`,
};
