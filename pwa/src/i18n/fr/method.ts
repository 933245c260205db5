import type { Labels } from "..";

/** Labels of the page that explains the test in five pictures. */
export const method: Labels["method"] = {
  title: "Comment faire un essai",
  lead: "L’eau prend l’éthanol au carburant. La couche du bas s’épaissit, et la limite entre les deux couches montre combien d’éthanol il y avait.",
  skip: "Passer",
  begin: "Commencer un essai",
  open: "Comment faire un essai",
  steps: [
    {
      title: "Prélever dehors",
      text: "Posez le jerrican au sol, le pistolet en contact avec lui. Ni flamme, ni chargeur, ni moteur en marche.",
    },
    {
      title: "Verser l’eau jusqu’à son repère",
      text: "L’œil à hauteur du repère, lisez le bas du ménisque : le creux de la surface.",
    },
    {
      title: "Ajouter le carburant jusqu’à son repère",
      text: "Versez doucement. Notez la température dans l’éprouvette.",
    },
    {
      title: "Fermer, retourner dix fois, dégazer",
      text: "Lentement et complètement. Puis entrouvrez loin du visage : la pression est montée.",
    },
    {
      title: "Laisser décanter, lire la limite",
      text: "Dix minutes à la verticale, puis l’œil à hauteur de la limite entre les couches. Faites deux mesures pour un résultat.",
    },
  ],
  result:
    "Une échelle imprimée peut se tromper de 6 points, car l’éthanol et l’eau se contractent en se mélangeant. L’application calcule la teneur et son incertitude.",
};
