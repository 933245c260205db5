import type { Labels } from "..";

/** The words of the parts that every place uses: fields, clock, glyph, dialog, chart. */
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
  sign: (label) => `${label} : au-dessus ou au-dessous de zéro`,
  notANumber: "Ce n’est pas un nombre. Tapez des chiffres et une seule virgule.",
  tooLow: (limit) => `C’est trop bas. Le minimum possible est ${limit}.`,
  tooHigh: (limit) => `C’est trop haut. Le maximum possible est ${limit}.`,

  tube: (content, uncertainty) => `Éthanol ${content} %, à ${uncertainty} points près`,
  tubeWithout: (content) => `Éthanol ${content} %, incertitude inconnue`,
  tubeSpan: (low, high) => `Éthanol entre ${low} et ${high} %`,
  tubeNext: (content, low, high) => `Éthanol environ ${content} %, prochain plein entre ${low} et ${high} %`,
  tubeEmpty: "Pas encore testé",
  none: "–",
  plusMinus: (value, uncertainty, unit) => `${value} ± ${uncertainty} ${unit}`,
  span: (low, high) => `${low}\u00a0à\u00a0${high}\u00a0%`,
  spread: (uncertainty) => `± ${uncertainty} %`,
  spreadUnknown: "% ± ?",

  clock: "Temps de décantation",
  clockStart: (minutes) => `Lancer les ${minutes} minutes`,
  clockSkip: "C’est décanté, continuer",
  clockAgain: "Relancer le temps",
  clockDone: "Décanté. Lisez le trait maintenant.",
  clockDoneSince: (minutes) => `Le temps est écoulé depuis ${minutes} min. Lisez le trait maintenant.`,
  clockEnds: (time) => `Jusqu’à ${time}`,
  clockAwake: "L’écran reste allumé jusqu’à la fin.",
  clockNotify: "Me prévenir aussi par une notification",
  clockNotifyTitle: (run) => `La mesure ${run} a décanté`,
  clockNotifyBody: "Lisez le trait de séparation.",
  clockSpoken: (minutes) => (minutes < 2 ? `encore ${minutes} minute` : `encore ${minutes} minutes`),

  strip: "Éprouvettes en décantation",
  stripRun: (run) => `La mesure ${run} décante`,
  stripOver: (run) => `La mesure ${run} a décanté : lisez son trait`,
  photoAdd: "Photographier l’éprouvette",
  photoAddMore: "Une autre photo",
  photoRemove: "Enlever cette photo",
  photoMissing: "Cette photo n’est plus sur ce téléphone.",
  photoAlt: (number) => `Photo ${number} de l’éprouvette`,
  photoMarked: "Les repères qui ont servi à lire le trait y sont dessinés.",
  photoWorking: "Réduction de la photo…",
  photoFault: "Cette image n’a pas pu être lue. Reprenez-la, ou choisissez un fichier JPEG, PNG ou WebP.",
  photoFull:
    "La mémoire de ce téléphone est pleine : pas de place pour la photo. Libérez de la place, puis reprenez-la.",
  photoShare: (number) => `Partager la photo ${number}`,
  undo: {
    act: "Annuler",
    can: (name) => `${name} retiré.`,
    tube: "Éprouvette rangée.",
    plan: "Plan de prélèvement terminé.",
    sheet: "Essai abandonné.",
    run: (number) => `Mesure ${number} enlevée.`,
    photo: "Photo enlevée.",
    test: "Essai supprimé.",
  },
  photoHint: "L’œil à hauteur du trait. Le lieu et les données de l’appareil sont retirés de l’image.",

  hardly: "moins de 1 %",
  nearly: "plus de 99 %",
};
