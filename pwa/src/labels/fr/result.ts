import type { Labels } from "..";

/** The words of a result: what it is, what it means, how it came about and what makes it uncertain. */
export const result: Labels["test"]["result"] = {
  title: "Résultat",
  live: "Le résultat apparaît ici après la première lecture.",
  content: "Éthanol, en volume",
  coverage: (interval) => `La vraie teneur est de ${interval} dans 95 cas sur 100.`,
  contradicted: "Les mesures ou les couches se contredisent : ce ± ne vaut pas encore.",
  span: "Le type d’échelle n’est pas connu : la teneur est donc un intervalle.",
  account: "Comment il est obtenu, et à quel point il est certain",
  how: "Comment il est obtenu",
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
    "Échange entre les couches : un peu d’essence se dissout en bas, un peu d’éthanol reste en haut. C’est une estimation d’après des solubilités publiées ; personne n’a publié d’essai au-dessus de 30 %.",
  exchangeNone: "Rien n’est déduit pour l’échange entre les couches : avec la saumure, il n’est pas connu.",
  alcohols:
    "Éthanol et autres alcools : l’éprouvette ne les distingue pas. L’ASTM D5798 admet au plus 0,5 % de méthanol et 2 % d’alcools supérieurs : jusqu’à 2,5 points peuvent ne pas être de l’éthanol.",
  runs: "Chaque mesure à part",
  run: (number) => `Mesure ${number}`,
  runAside: (number, why) => `Mesure ${number}, écartée : ${why}`,
  byTop: (content) => `${content} d’après le haut du carburant`,
  layersAgree: ", ce qui concorde avec le trait.",
  layersDiffer: ", ce qui ne concorde pas avec le trait.",
  parts: "Ce qui le rend incertain",
  largest: (part, points) => `La plus grande part : ${part.toLowerCase()}, ${points} à elle seule.`,
  act: {
    know_scale: (left) => `En connaissant le type d’échelle, ce serait ± ${left} %.`,
    calibrate_tube: (left) => `En pesant les repères de l’éprouvette, ce serait ± ${left} %.`,
    measure_temperature: (left) => `Avec des températures mesurées, ce serait ± ${left} %.`,
    one_more_run: (left) => `Avec une mesure de plus, ce serait ± ${left} %.`,
    read_finer: (left) =>
      `En lisant le trait deux fois plus finement, sur une photo par exemple, ce serait ± ${left} %.`,
    finer_tube: (left) => `Avec une éprouvette aux graduations deux fois plus fines, ce serait ± ${left} %.`,
    other_filling: (left, water, fuel) => `Avec ${water} d’eau et ${fuel} de carburant, ce serait ± ${left} %.`,
  },
  guessed: (degrees, points) =>
    `La température est estimée : ${degrees} de plus dans l’éprouvette changeraient la teneur de ${points} points.`,
  eachPart: "Toutes les parts",
  partsHint: "La part propre de chaque cause, en points à 95 %. Elles s’ajoutent par leurs carrés.",
  scope: {
    run: (letters) => `${letters} plein : nouveau à chaque mesure, en faire plus aide`,
    tube: (letters) =>
      `${letters} hachuré : le même à chaque mesure avec cette éprouvette ; une autre éprouvette aide, ou mieux connaître celle-ci`,
    all: (letters) =>
      `${letters} pointillé : le même à chaque essai ; mesurer les températures et demander l’eau du carburant aide, contre l’échange entre les couches seule une meilleure table`,
  },
  component: {
    water_fill: "Remplissage de l’eau",
    fuel_fill: "Remplissage du carburant",
    line: "Lecture du trait",
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
      "Les couches ne tombent pas juste : erreur de remplissage, fuite, évaporation ou couche trouble. Refaites la mesure.",
    runs_disagree:
      "Les deux mesures diffèrent plus que la lecture ne l’explique. Faites-en une troisième : celle du milieu compte.",
    median_counts: "Les mesures diffèrent plus que la lecture ne l’explique : celle du milieu compte.",
    scale_unknown:
      "Le type d’échelle n’est pas connu : le résultat couvre les deux. Comparez les hauteurs des graduations pour le savoir.",
    check_scale_kind:
      "C’est au-dessus de ce que toutes les normes admettent. Vérifiez d’abord le type d’échelle de cette éprouvette.",
    would_freeze: "À cette température, la couche du bas serait de la glace : la température est-elle juste ?",
  },
  grown: (apart, now, without) =>
    `Les mesures s’écartent de ${apart} points. C’est pourquoi le ± est de ${now} points ; avec des mesures concordantes, il serait d’environ ${without}.`,
  minimum: (probability, minimum) => `Probabilité d’atteindre votre minimum de ${minimum} : ${probability}.`,
  verdict: {
    inside: (name) => `Dans ce que ${name} admet.`,
    below: (name) => `Au-dessous de ce que ${name} admet.`,
    above: (name) => `Au-dessus de ce que ${name} admet.`,
    cannot_tell: (name) =>
      `Impossible de dire si c’est dans ce que ${name} admet : une limite tombe dans l’incertitude.`,
  },
  signed: (amount) => `+${amount}`,
  points: (amount) => `± ${amount} points`,
  limit: { atLeast: "au moins", atMost: "au plus", above: "plus de", to: "à" },
  fault: "Aucune teneur ne correspond à ces nombres. Vérifiez les repères, le remplissage et le trait.",
};
