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
