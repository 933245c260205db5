import type { Labels } from "..";

/** Labels of the fill-ups: what went in, what the sensor showed, what the tank should contain. */
export const fillUps: Labels["fillUps"] = {
  title: "Pleins",
  enter: "Saisir un plein",
  one: "plein",
  many: "pleins",
  none: "Aucun plein pour l’instant.",
  before: "Dans le réservoir avant",
  beforeHint: "Ce qu’indiquait la jauge.",
  beforeUnknown: "Sans cette valeur, l’application ne peut pas calculer ce que le réservoir devrait contenir.",
  volumeMissing: "Indiquez combien vous avez mis.",
  where: "Plein fait à",
  content: "Teneur d’après",
  typed: "saisie, ou inconnue",
  estimate: (reading) => `estimation pour le prochain plein : ${reading}`,
  sensor: "Ce qu’indique le capteur",
  sensorHint:
    "Roulez d’abord quelques minutes : le nouveau carburant doit arriver jusqu’à lui. Vous pourrez aussi saisir la valeur plus tard, sous « Contrôler le capteur ».",
  note: "Note",
  noteHint: "De l’eau visible, un prix, quelque chose d’anormal.",
  save: "Enregistrer ce plein",
  saved: "Plein enregistré.",
  removed: "Plein supprimé. Le réservoir reste tel que saisi.",
  remove: "Supprimer",
  put: (volume, name) => (name ? `${volume} pris à ${name}` : volume),
  from: { test: "d’après un essai", estimate: "estimée, sans essai", typed: "saisie, sans essai" },
  unknown: "teneur inconnue",
  water: (share) => `en supposant ${share} d’eau dans le carburant`,
  held: (volume, reading) => `Le réservoir devrait ensuite contenir ${volume} à ${reading}.`,
  heldUnknown: "L’application ne peut pas calculer ce que le réservoir contenait ensuite.",
  sensed: (reading) => `Capteur : ${reading}.`,
  within: (difference) => `Écart de ${difference} : les deux incertitudes réunies l’expliquent.`,
  outside: (difference) => `Écart de ${difference} : plus que n’expliquent les deux incertitudes réunies.`,
  points: "points",
  chart: (many) => `Ce que le réservoir devrait contenir après ${many}, et ce qu’indiquait le capteur.`,
  key: "Ronds pleins : valeurs calculées. Carrés vides : capteur. Barres : ± à 95 %.",
  withFill: (day) => `Enregistrer avec le plein du ${day}`,
  withFillDone: "Enregistré avec le plein.",
  drift: {
    sensor: (times, differences) =>
      `${times} de suite, le capteur s’est écarté de plus que n’expliquent les deux incertitudes réunies : ${differences}. Il a peut-être dérivé, ou le carburant n’était pas ce que vous avez saisi. Faites un essai du réservoir.`,
    station: (times, differences, name) =>
      `${times} de suite, après un plein à ${name}, le capteur s’est écarté de plus que n’expliquent les deux incertitudes réunies : ${differences}. Avec un autre carburant, il concordait. Le carburant de ${name} n’est peut-être pas ce que vous avez saisi. Testez-le.`,
    either: (times, differences, name) =>
      `${times} de suite, après un plein à ${name}, le capteur s’est écarté de plus que n’expliquent les deux incertitudes réunies : ${differences}. Cela ne suffit pas pour savoir si le capteur se trompe ou si le carburant est différent. Faites un essai du réservoir.`,
  },
  time: "fois",
  times: "fois",
};
