import type { Labels } from "..";

/** The words for marking a tube in a photo. */
export const photo: Labels["photo"] = {
  title: "Placer les repères sur la photo",
  hint: "Faites glisser chaque croix à sa place dans l’axe de l’éprouvette, ou choisissez-en une et déplacez-la avec les flèches.",
  marks: {
    bottom: "Repère du bas",
    water: "Repère d’eau",
    fuel: "Repère de carburant",
    line: "Limite de séparation",
  },
  choose: "Quel repère ?",
  up: "Haut",
  down: "Bas",
  left: "Gauche",
  right: "Droite",
  nudge: (mark, way) => `${mark} : vers ${way === "Haut" || way === "Bas" ? "le" : "la"} ${way.toLowerCase()}`,
  at: (mark, x, y) => `${mark}, ${x} en largeur, ${y} en hauteur`,
  bottomVolume: "Volume au repère du bas",
  suggest: "Trouver la limite",
  searching: "Recherche de la limite…",
  noClearLine:
    "Pas de limite nette sur cette photo. Laissez décanter plus longtemps, ou photographiez devant un fond clair et uni.",
  suggestHint: "Placez d’abord les repères d’eau et de carburant : l’application cherche entre les deux.",
  suggested: "Trouvée. Vérifiez que la croix est sur la limite ; sinon, déplacez-la.",
  reads: (volume, half) => `La photo donne ${volume} ± ${half}.`,
  take: "Utiliser cette valeur",
  back: "Laisser la photo sans repères",
  unreadable: "Impossible d’afficher cette photo. Prenez-en une autre.",
};
