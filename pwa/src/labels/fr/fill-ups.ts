import type { Labels } from "..";

/** The words of the fill-ups: what went in, what the sensor said, what the tank should hold. */
export const fillUps: Labels["fillUps"] = {
  title: "Pleins",
  enter: "Saisir un plein",
  one: "plein",
  many: "pleins",
  none: "Aucun plein n’est encore saisi.",
  before: "Dans le réservoir avant",
  beforeHint: "Ce qu’indiquait la jauge.",
  beforeUnknown: "Sans cela, l’application ne peut pas calculer ce que le réservoir devrait contenir.",
  volumeMissing: "Indiquez combien vous avez mis.",
  where: "Rempli à",
  content: "Teneur d’après",
  typed: "saisie, ou pas connue",
  estimate: (reading) => `estimation du prochain plein : ${reading}`,
  sensor: "Ce que montre le capteur",
  sensorHint:
    "Roulez d’abord quelques minutes : le nouveau carburant doit l’atteindre. Vous pouvez aussi le saisir plus tard sous Contrôler le capteur.",
  note: "Note",
  noteHint: "De l’eau que vous avez vue, un prix, quelque chose d’étrange.",
  save: "Enregistrer ce plein",
  saved: "Plein enregistré.",
  removed: "Plein supprimé. Le réservoir reste comme il est saisi.",
  remove: "Supprimer",
  put: (volume, name) => (name ? `${volume} de ${name}` : volume),
  from: { test: "d’après un essai", estimate: "estimée, sans essai", typed: "saisie, sans essai" },
  unknown: "teneur pas connue",
  water: (share) => `calculée avec ${share} d’eau supposés dans le carburant`,
  held: (volume, reading) => `Devrait alors contenir ${volume} à ${reading}.`,
  heldUnknown: "Ce que le réservoir contenait alors ne peut pas se calculer.",
  sensed: (reading) => `Capteur : ${reading}.`,
  within: (difference) => `Écart de ${difference} : dans les deux incertitudes.`,
  outside: (difference) => `Écart de ${difference} : hors des deux incertitudes.`,
  points: "points",
  chart: (many) => `Ce que le réservoir devrait contenir après ${many}, et ce que montrait le capteur.`,
  key: "Ronds pleins : calcul. Carrés vides : capteur. Barres : ± à 95 %.",
  withFill: (day) => `L’ajouter au plein du ${day}`,
  withFillDone: "La mesure figure maintenant avec le plein.",
  drift: {
    sensor: (times, differences) =>
      `${times} de suite, le capteur s’est écarté de plus que les deux incertitudes : ${differences}. Il a peut-être dérivé, ou le carburant n’était pas ce que vous avez saisi. Faites un essai du réservoir.`,
    station: (times, differences, name) =>
      `${times} de suite, le capteur s’est écarté de plus que les deux incertitudes après un plein à ${name} : ${differences}. Avec d’autres carburants, il était d’accord. Le carburant de ${name} n’est peut-être pas ce que vous avez saisi. Faites-en un essai.`,
    either: (times, differences, name) =>
      `${times} de suite, le capteur s’est écarté de plus que les deux incertitudes après un plein à ${name} : ${differences}. Cela ne dit pas si c’est le capteur ou le carburant. Faites un essai du réservoir.`,
  },
  time: "fois",
  times: "fois",
};
