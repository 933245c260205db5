import type { Labels } from "..";

/** Labels of the vehicles: which is in use, what belongs to it. */
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
  minimum: "Minimum d’éthanol",
  minimumHint: "La teneur que demande sa cartographie moteur. Laissez vide s’il n’y en a pas.",
  save: "Enregistrer ce véhicule",
  remove: "Supprimer ce véhicule",
  removed: (name) => `Véhicule supprimé : ${name}.`,
  minimumOf: (name) => `C’est le minimum de ${name}. Pour changer de véhicule, allez dans Carburant.`,
  enough: (name, probability, minimum) => `${name} : ${probability} de chances d’atteindre son minimum de ${minimum}.`,
};
