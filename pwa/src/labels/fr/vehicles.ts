import type { Labels } from "..";

/** The words of the vehicles: which is in use, what belongs to it. */
export const vehicles: Labels["vehicles"] = {
  choose: "Véhicule",
  offered: (number) => `Véhicule ${number}`,
  one: "véhicule",
  many: "véhicules",
  change: "Fiche du véhicule",
  add: "Ajouter un véhicule",
  newTitle: "Ajouter un véhicule",
  name: "Nom du véhicule",
  nameHint: "Comme vous l’appelez : marque, couleur, propriétaire.",
  sensor: "Il a un capteur d’éthanol",
  minimum: "Son minimum",
  minimumHint: "La teneur en éthanol que demande sa cartographie. Laissez vide s’il n’y en a pas.",
  save: "Enregistrer ce véhicule",
  remove: "Retirer ce véhicule",
  removed: (name) => `${name} a été retiré.`,
  minimumOf: (name) => `C’est le minimum de ${name}. Le véhicule se choisit sous Carburant.`,
  enough: (name, probability, minimum) =>
    `${name} : son minimum de ${minimum} est atteint avec une probabilité de ${probability}.`,
};
