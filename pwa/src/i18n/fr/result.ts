import type { Labels } from "..";

/** Labels of a result: what it is, what it means, how it was computed and what makes it uncertain. */
export const result: Labels["result"] = {
  title: "Résultat",
  live: "Le résultat s’affichera ici après la première lecture.",
  content: "Éthanol, en volume",
  coverage: (interval) => `Teneur vraie : ${interval} (confiance 95 %).`,
  contradicted: "Les mesures ou les couches se contredisent : ne vous fiez pas encore à ce ±.",
  span: "Type d’échelle inconnu : la teneur est donc un intervalle.",
  account: "Calcul et incertitude",
  how: "Comment on l’obtient",
  asRead: "Sans correction",
  asReadAt: (line) => `Sans correction, limite à ${line}`,
  total: "Teneur en éthanol",
  step: {
    shrinkage: "Contraction de l’éthanol et de l’eau",
    temperature: "Températures de l’eau, du carburant et de l’éprouvette",
    fuel_water: "Eau déjà dans le carburant",
    method: "Formule pour la saumure (NBR 13992)",
    calibration: "Repères pesés de cette éprouvette",
    exchange: "Échange entre les couches",
    tube_offset: "Décalage connu de cette éprouvette",
  },
  exchangeBasis:
    "Échange entre les couches : un peu d’essence se dissout dans celle du bas, un peu d’éthanol reste dans celle du haut. C’est une estimation d’après des solubilités publiées ; personne n’a publié d’essai au-dessus de 30 %.",
  exchangeNone: "Aucune correction pour l’échange entre les couches : avec la saumure, on ne le connaît pas.",
  alcohols:
    "Éthanol et autres alcools : l’éprouvette ne les distingue pas. L’ASTM D5798 admet au plus 0,5 % de méthanol et 2 % d’alcools supérieurs : jusqu’à 2,5 points peuvent donc ne pas être de l’éthanol.",
  runs: "Chaque mesure à part",
  run: (number) => `Mesure ${number}`,
  runAside: (number, why) => `Mesure ${number}, écartée : ${why}`,
  byTop: (content) => `${content} d’après le haut du carburant`,
  layersAgree: ", en accord avec la limite.",
  layersDiffer: ", en désaccord avec la limite.",
  parts: "D’où vient l’incertitude",
  largest: (part, points) => `La plus grande part : ${part.toLowerCase()}, ${points} à elle seule.`,
  act: {
    know_scale: (left) => `En trouvant le type d’échelle, vous passeriez à ± ${left} %.`,
    calibrate_tube: (left) => `En pesant les repères de l’éprouvette, vous passeriez à ± ${left} %.`,
    measure_temperature: (left) => `En mesurant les températures, vous passeriez à ± ${left} %.`,
    one_more_run: (left) => `Avec une mesure de plus, vous passeriez à ± ${left} %.`,
    read_finer: (left) =>
      `En lisant la limite deux fois plus finement, sur une photo par exemple, vous passeriez à ± ${left} %.`,
    finer_tube: (left) => `Avec une éprouvette aux graduations deux fois plus fines, vous passeriez à ± ${left} %.`,
    other_filling: (left, water, fuel) => `Avec ${water} d’eau et ${fuel} de carburant, vous passeriez à ± ${left} %.`,
  },
  guessed: (degrees, points) =>
    `La température est estimée : ${degrees} de plus dans l’éprouvette changeraient la teneur de ${points} points.`,
  partsHint: "La part de chaque cause, en points (confiance 95 %). Elles s’ajoutent par leurs carrés.",
  scope: {
    run: (letters) => `${letters} plein : change à chaque mesure, en faire plus aide`,
    tube: (letters) =>
      `${letters} hachuré : pareil à chaque mesure avec cette éprouvette ; prenez-en une autre, ou étalonnez celle-ci`,
    all: (letters) =>
      `${letters} pointillé : pareil à chaque essai ; mesurez les températures et renseignez-vous sur l’eau du carburant ; contre l’échange entre les couches, seule une meilleure table aide`,
  },
  component: {
    water_fill: "Remplissage de l’eau",
    fuel_fill: "Remplissage du carburant",
    line: "Lecture de la limite",
    marks: "Repères de l’éprouvette",
    calibration: "Pesée des repères",
    temperature: "Température de l’éprouvette",
    water_temperature: "Température de l’eau",
    fuel_temperature: "Température du carburant",
    fuel_water: "Eau dans le carburant",
    exchange: "Échange entre les couches",
    tube_offset: "Décalage connu de l’éprouvette",
    scale_kind: "Type d’échelle",
    scatter: "Dispersion des mesures",
  },
  warning: {
    layers_disagree:
      "Les couches ne correspondent pas à ce qui a été versé : erreur de remplissage, fuite, évaporation ou couche trouble. Refaites la mesure.",
    runs_disagree:
      "L’écart entre les deux mesures dépasse l’erreur de lecture. Faites-en une troisième : c’est la médiane qui comptera.",
    median_counts: "L’écart entre les mesures dépasse l’erreur de lecture : c’est la médiane qui compte.",
    scale_unknown:
      "Type d’échelle inconnu : le résultat couvre les deux. Pour le trouver, comparez les hauteurs des graduations.",
    check_scale_kind:
      "Aucune norme n’admet une teneur aussi haute. Vérifiez d’abord le type d’échelle de cette éprouvette.",
    would_freeze: "À cette température, la couche du bas serait de la glace : la température est-elle juste ?",
  },
  grown: (apart, now, without) =>
    `Les mesures s’écartent de ${apart} points. C’est pourquoi le ± est de ${now} points ; avec des mesures concordantes, il serait d’environ ${without}.`,
  minimum: (probability, minimum) => `Chances d’atteindre votre minimum de ${minimum} : ${probability}.`,
  verdict: {
    inside: (name) => `Dans les limites de la norme ${name}.`,
    below: (name) => `Au-dessous des limites de la norme ${name}.`,
    above: (name) => `Au-dessus des limites de la norme ${name}.`,
    cannot_tell: (name) => `Trop près d’une limite de la norme ${name} pour conclure.`,
  },
  points: (amount) => `± ${amount} points`,
  limit: { atLeast: "au moins", atMost: "au plus", above: "plus de", to: "à" },
  fault: "Aucune teneur ne correspond à ces valeurs. Vérifiez les repères, le remplissage et la limite.",
};
