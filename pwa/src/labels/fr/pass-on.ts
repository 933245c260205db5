import type { Labels } from "..";

/** The words for handing a result to somebody: on the picture, and in the text beside it. */
export const passOn: Labels["passOn"] = {
  title: "Le transmettre",
  show: "Le transmettre en image",
  hint: "Rien ne quitte le téléphone avant que vous l’envoyiez. On y voit la station, et aucun nom de vous.",
  send: "Envoyer l’image et le texte",
  save: "Enregistrer l’image",
  copy: "Copier le texte",
  sent: "Transmis.",
  saved: "L’image est enregistrée.",
  copied: "Le texte est copié.",
  copyFault: "Le texte n’a pas pu être copié. Sélectionnez-le et copiez-le à la main.",
  drawFault: "Ce navigateur n’a pas pu dessiner l’image. Le texte ci-dessous dit la même chose.",
  sendFault: "L’envoi n’a pas abouti. Enregistrez l’image à la place.",

  content: "Éthanol, en volume",
  reading: (content) => `Teneur en éthanol ${content}, en volume`,
  coverage: (interval) => `Dans 95 cas sur 100, la vraie teneur est de ${interval}.`,
  span: "Le type d’échelle n’est pas connu : la teneur est donc un intervalle.",
  contradicted: "Les mesures ou les couches se contredisent : ce ± ne vaut pas encore.",
  sampled: { pump: "À la pompe", can: "D’un jerrican", tank: "D’un réservoir" },
  when: (sampled, moment) => `${sampled}, ${moment}`,
  runs: (count) => `${count}, éprouvette lue à l’œil ou sur photo`,
  run: "mesure",
  manyRuns: "mesures",
  scale: {
    volume: "Lu en millilitres",
    linear: "Lu sur une échelle régulière en pour cent",
    corrected: "Lu sur une échelle en pour cent qui tient compte de la contraction",
    unknown: "Lu sur une échelle en pour cent de type inconnu",
  },
  corrected: (scale, read, change) => `${scale} à ${read} ; corrections ${change} points`,
  caution: "Une éprouvette mesure la teneur, rien d’autre : elle ne dit pas si un moteur supporte un carburant.",
  cautionFire:
    "Le carburant et ses vapeurs s’enflamment facilement. Suivez les règles locales et la fiche de données de sécurité.",
};
