import type { Labels } from "..";

/** Labels for sharing a result: on the picture, and in the text with it. */
export const passOn: Labels["passOn"] = {
  // "Partager" already means making a test public.
  title: "Envoyer à quelqu’un",
  show: "Envoyer en image",
  hint: "Rien ne quitte le téléphone avant que vous l’envoyiez. On y voit la station, mais pas votre nom.",
  send: "Envoyer l’image et le texte",
  save: "Enregistrer l’image",
  copy: "Copier le texte",
  sent: "Envoyé.",
  saved: "L’image est enregistrée.",
  copied: "Le texte est copié.",
  copyFault: "Impossible de copier le texte. Sélectionnez-le et copiez-le à la main.",
  drawFault: "Ce navigateur n’a pas pu dessiner l’image. Le texte ci-dessous dit la même chose.",
  sendFault: "L’envoi a échoué. Enregistrez plutôt l’image.",

  content: "Éthanol, en volume",
  reading: (content) => `Teneur en éthanol ${content}, en volume`,
  coverage: (interval) => `Teneur vraie : ${interval} (confiance 95 %).`,
  span: "Type d’échelle inconnu : la teneur est donc un intervalle.",
  contradicted: "Les mesures ou les couches se contredisent : ne vous fiez pas encore à ce ±.",
  sampled: { pump: "À la pompe", can: "Dans un jerrican", tank: "Dans un réservoir" },
  when: (sampled, moment) => `${sampled}, ${moment}`,
  runs: (count) => `${count}, éprouvette lue à l’œil ou sur photo`,
  run: "mesure",
  manyRuns: "mesures",
  corrected: (scale, read, change) => `${scale}\u00a0: ${read} avant corrections de ${change} points`,
  caution: "Une éprouvette mesure la teneur, rien d’autre : elle ne dit pas si un moteur supporte un carburant.",
  cautionFire:
    "Le carburant et ses vapeurs s’enflamment facilement. Suivez les règles locales et la fiche de données de sécurité.",
};
