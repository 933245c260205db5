import type { Labels } from "..";

/** The words for marking a tube in a photo. */
export const photo: Labels["photo"] = {
  title: "Repérer l’éprouvette sur la photo",
  hint: "Glissez chaque croix à sa place sur l’axe de l’éprouvette, ou choisissez-en une et déplacez-la avec les flèches.",
  marks: {
    bottom: "Repère du bas",
    water: "Repère d’eau",
    fuel: "Repère de carburant",
    line: "Trait de séparation",
  },
  choose: "Quel repère",
  up: "Haut",
  down: "Bas",
  left: "Gauche",
  right: "Droite",
  nudge: (mark, way) => `${mark} : vers ${way === "Haut" || way === "Bas" ? "le" : "la"} ${way.toLowerCase()}`,
  at: (mark, x, y) => `${mark}, ${x} en largeur, ${y} en hauteur`,
  bottomVolume: "Volume au repère du bas",
  suggest: "Trouver le trait",
  searching: "Recherche du trait…",
  noClearLine:
    "Pas de trait net sur cette photo. Laissez décanter plus longtemps, ou photographiez devant un fond clair et uni.",
  suggestHint: "Cherche entre le repère d’eau et le repère de carburant, une fois ces deux-là à leur place.",
  suggested: "Trouvé. Regardez si la croix est sur le trait, et déplacez-la sinon.",
  reads: (volume, half) => `La photo donne ${volume} ± ${half}.`,
  take: "Prendre cette lecture",
  back: "Laisser la photo sans repères",
  unreadable: "Cette photo ne peut pas être affichée. Prenez-en une autre.",
};

/** The words for the camera with the outline of a tube. */
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

/** The words for how the phone is held. */
export const level: Labels["level"] = {
  ask: "Afficher l’inclinaison du téléphone",
  level: "D’aplomb",
  held: (tilt, up, turned) => `Vise ${tilt}° vers le ${up ? "haut" : "bas"}, tourné de ${turned}°`,
};
