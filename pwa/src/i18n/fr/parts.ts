import type { Labels } from "..";

/** Labels of the widgets that every place uses: fields, timer, glyph, dialog, chart. */
export const parts: Labels["parts"] = {
  scanner: {
    start: "Scanner le code",
    stop: "Arrêter l’appareil photo",
    picture: "Ce que voit l’appareil photo",
    fault:
      "L’appareil photo n’est pas disponible. Autorisez-le dans les réglages du navigateur, ou tapez le texte sous le code.",
  },

  less: (label) => `${label} : moins`,
  more: (label) => `${label} : plus`,
  sign: (label) => `${label} : positif ou négatif`,
  notANumber: "Ce n’est pas un nombre. Tapez des chiffres et une seule virgule.",
  tooLow: (limit) => `C’est trop bas. Le minimum est ${limit}.`,
  tooHigh: (limit) => `C’est trop haut. Le maximum est ${limit}.`,

  tube: (content, uncertainty) => `Éthanol ${content} %, à ${uncertainty} points près`,
  tubeWithout: (content) => `Éthanol ${content} %, incertitude inconnue`,
  tubeSpan: (low, high) => `Éthanol entre ${low} et ${high} %`,
  tubeNext: (content, low, high) => `Éthanol environ ${content} %, prochain plein entre ${low} et ${high} %`,
  tubeEmpty: "Pas encore testé",
  none: "–",
  plusMinus: (value, uncertainty, unit) => `${value} ± ${uncertainty}\u00a0${unit}`,
  span: (low, high) => `${low}\u00a0à\u00a0${high} %`,
  spread: (uncertainty) => `± ${uncertainty} %`,
  spreadUnknown: "% ± ?",

  clock: "Temps de décantation",
  clockStart: (minutes) => `Lancer les ${minutes} minutes`,
  clockSkip: "C’est décanté, continuer",
  clockAgain: "Relancer la minuterie",
  clockDone: "C’est décanté. Lisez la limite maintenant.",
  clockDoneSince: (minutes) => `Décantation finie depuis ${minutes} min. Lisez la limite maintenant.`,
  clockEnds: (time) => `Jusqu’à ${time}`,
  clockAwake: "L’écran reste allumé jusqu’à la fin.",
  clockNotify: "M’avertir aussi par une notification",
  clockNotifyTitle: (run) => `Mesure ${run} : c’est décanté`,
  clockNotifyBody: "Lisez la limite de séparation.",
  clockSpoken: (minutes) => (minutes < 2 ? `encore ${minutes} minute` : `encore ${minutes} minutes`),

  strip: "Éprouvettes en décantation",
  stripRun: (run) => `Mesure ${run} : décantation`,
  stripOver: (run) => `Mesure ${run} : c’est décanté, lisez la limite`,
  photoAdd: "Photographier l’éprouvette",
  photoAddMore: "Une autre photo",
  photoRemove: "Supprimer cette photo",
  photoMissing: "Cette photo n’est plus sur ce téléphone.",
  photoAlt: (number) => `Photo ${number} de l’éprouvette`,
  photoMarked: "On y voit les repères qui ont servi à lire la limite.",
  photoWorking: "Réduction de la photo…",
  photoFault: "Cette image est illisible. Reprenez-la, ou choisissez un fichier JPEG, PNG ou WebP.",
  photoFull:
    "Le stockage de ce téléphone est plein : pas de place pour la photo. Libérez de la place, puis reprenez-la.",
  photoShare: (number) => `Partager la photo ${number}`,
  undo: {
    act: "Annuler",
    can: (name) => `${name} supprimé.`,
    tube: "Éprouvette mise hors service.",
    plan: "Plan de prélèvement arrêté.",
    sheet: "Essai abandonné.",
    run: (number) => `Mesure ${number} supprimée.`,
    photo: "Photo supprimée.",
    test: "Essai supprimé.",
  },
  photoHint: "L’œil à hauteur de la limite. L’application efface de la photo le lieu et les données de l’appareil.",

  hardly: "moins de 1 %",
  nearly: "plus de 99 %",
};
