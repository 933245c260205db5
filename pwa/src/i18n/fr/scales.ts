import type { Labels } from "..";

/** The kinds of scale: what each is called, how one knows it, and how a result read on it begins where it is passed on. */
export const scales: Labels["scales"] = {
  volume: {
    label: "Millilitres",
    hint: "De simples graduations, par exemple de 0 à 100 mL.",
    passedOn: "Lu en millilitres",
  },
  linear: {
    label: "Pour cent, graduations régulières",
    hint: "Les graduations sont toutes à la même distance. Une telle échelle oublie que l’éthanol et l’eau se contractent en se mélangeant ; l’application corrige.",
    passedOn: "Lu sur une échelle en pour cent régulière",
  },
  corrected: {
    label: "Pour cent, corrigés de la contraction",
    hint: "La distance entre les graduations change le long de l’éprouvette, ou le fabricant dit qu’elle montre directement la teneur en éthanol.",
    passedOn: "Lu sur une échelle en pour cent corrigée de la contraction",
  },
  unknown: {
    label: "Pour cent, type inconnu",
    hint: "Tant que vous ne le savez pas, le résultat est un intervalle, large d’environ 6 points à 85 %.",
    passedOn: "Lu sur une échelle en pour cent de type inconnu",
  },
};
