import type { Labels } from "..";

/** Labels for marking a tube in a photo. */
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

/** Labels for the camera with the outline of a tube. */
export const guide: Labels["guide"] = {
  open: "Photo avec gabarit",
  title: "Photo avec gabarit",
  picture: "Ce que voit l’appareil photo, avec le contour de l’éprouvette par-dessus",
  hint: (bottom, water, fuel) =>
    `Tenez le téléphone droit, à la hauteur de la limite, les trois traits sur ${bottom}, ${water} et ${fuel}.`,
  torch: "Lampe",
  narrower: "Plus étroit",
  wider: "Plus large",
  take: "Prendre la photo",
  back: "Fermer l’appareil photo",
  refused:
    "L’appareil photo ne peut pas être utilisé ici. Prenez une photo avec le bouton ci-dessous, ou autorisez l’appareil photo dans les réglages du navigateur.",
  line: "La limite, agrandie",
  mark: (volume) => `La graduation ${volume}, agrandie`,
  look: "Regardez si les barres sont sur la limite et, dessous, sur les graduations.",
  fitted: "Les repères ont été ajustés à l’échelle imprimée.",
  check:
    "Vérifiez les repères : l’échelle imprimée n’a pas pu être lue. Si une graduation n’est pas entre ses barres, placez les repères à la main.",
  use: "Utiliser cette lecture",
  useHeld: "Les repères sont bons : utiliser cette lecture",
  byHand: "Placer les repères à la main",
  again: "Reprendre la photo",
  leave: "Garder la photo, lire à l’œil",
};

/** Labels for how level the phone is held. */
export const level: Labels["level"] = {
  ask: "Afficher l’inclinaison du téléphone",
  level: "D’aplomb",
  held: (tilt, up, turned) => `Vise ${tilt}° vers le ${up ? "haut" : "bas"}, tourné de ${turned}°`,
};
