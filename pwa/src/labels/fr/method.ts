import type { Labels } from "..";

/** The words of the page that explains the test in five pictures. */
export const method: Labels["method"] = {
  title: "Comment se fait un essai",
  lead: "L’eau prend l’éthanol au carburant. La couche du bas grandit donc, et le trait entre les couches dit combien d’éthanol il y avait.",
  skip: "Passer",
  begin: "À la fiche",
  open: "Comment se fait un essai",
  steps: [
    {
      title: "Prélever dehors",
      text: "Le jerrican est posé au sol, le pistolet le touche. Ni flamme, ni chargeur, ni moteur en marche.",
    },
    {
      title: "De l’eau jusqu’à son repère",
      text: "L’œil à hauteur du repère. C’est le point le plus bas de la surface qui compte.",
    },
    {
      title: "Le carburant par-dessus, jusqu’à son repère",
      text: "Versez doucement. Notez la température dans l’éprouvette.",
    },
    {
      title: "Fermer, retourner dix fois, dégazer",
      text: "Lentement et complètement. Puis entrouvrez-la loin du visage : la pression est montée.",
    },
    {
      title: "Laisser décanter, lire le trait",
      text: "Dix minutes debout, puis l’œil à hauteur du trait où les couches se séparent. Deux mesures, puis le résultat.",
    },
  ],
  result:
    "Une échelle imprimée peut se tromper de 6 points, car l’éthanol et l’eau se contractent en se mélangeant. L’application calcule la teneur et à quel point elle est certaine.",
};
