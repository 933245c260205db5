import type { Labels } from "..";

/** Labels of the person's own tubes: what is known about each, and the three ways to find out more. */
export const tubes: Labels["tubes"] = {
  title: "Éprouvettes",
  lead: "Connaissez l’échelle de votre éprouvette : le résultat en dépend.",
  none: "Aucune éprouvette pour l’instant.",
  add: "Ajouter une éprouvette",
  addTitle: "Nouvelle éprouvette",
  putAway: "Hors service",
  putAwayHint: "Elle n’est plus proposée pour les essais.",
  inUse: "En service",
  mark: (scale, water, fuel) => `${scale} ; eau ${water}, carburant ${fuel}`,
  lost: "Cette éprouvette n’est pas sur ce téléphone.",
  all: "Toutes les éprouvettes",
  back: "Retour à l’éprouvette",

  compared: {
    title: "Comparée aux autres",
    low: (points, half, sources) =>
      `Dans ${sources} stations où d’autres testent aussi, cette éprouvette indique environ ${points} points trop bas (± ${half}). Vérifiez d’abord son type d’échelle.`,
    high: (points, half, sources) =>
      `Dans ${sources} stations où d’autres testent aussi, cette éprouvette indique environ ${points} points trop haut (± ${half}). Vérifiez d’abord son type d’échelle.`,
    agrees: (_points, half, sources) =>
      `Dans ${sources} stations où d’autres testent aussi, cette éprouvette concorde avec les leurs à ± ${half} points.`,
    by: {
      phone: (day) => `D’après ce téléphone, le ${day}.`,
      server: (day) => `D’après le serveur, le ${day}. Personne d’autre n’en est informé.`,
    },
    hint: "Cela ne corrige pas vos résultats. Cela augmente seulement leur incertitude quand on évalue une station.",
  },

  known: {
    title: "Détails de l’éprouvette",
    scale: "Échelle",
    scaleOpen:
      "On ne sait pas ce que valent ses pour cent : chaque résultat est donc un intervalle. Mesurez les hauteurs de ses graduations.",
    byHeights: (day) => `d’après ses hauteurs, ${day}`,
    entered: "telle que saisie",
    scaleDiffers: "Les hauteurs mesurées indiquent l’autre type d’échelle. L’un des deux est faux.",
    graduation: "Plus petite graduation",
    fill: "Repères de remplissage",
    fillText: (water, fuel) => `${water} et ${fuel}`,
    liquid: "Premier liquide",
    tolerance: "Erreur maximale tolérée",
    toleranceNone: "non indiquée",
    toleranceWeighed: "sans effet : repères pesés",
    plusMinus: (value) => `± ${value}`,
    mark: (nominal) => `Repère ${nominal}`,
    markNone: "Repères",
    markUnweighed: "tels qu’imprimés, non pesés",
    offset: "Décalage",
    offsetNone: "aucun connu",
    offsetFrom: (known, day) => `d’après un échantillon à ${known}, ${day}`,
    offsetOld:
      "L’éprouvette a été modifiée depuis que son décalage est connu. Refaites l’échantillon connu, ou recalculez le décalage à partir de son essai.",
    offsetBefore:
      "Ce décalage date d’avant la correction de l’échange entre les couches, et le contient. Mieux vaut le retrouver : testez de nouveau un échantillon connu.",
    points: "points",
  },

  acts: {
    title: "En savoir plus",
    edit: "Modifier ses données",
    weigh: "Peser ses repères",
    check: "Contrôler son échelle",
    sample: "Tester un échantillon connu",
  },

  weigh: {
    missing: "Saisissez d’abord le repère, la masse et la température.",
    title: "Peser les repères",
    lead: "Le poids de l’eau montre le vrai volume d’un repère. Une balance de cuisine au dixième de gramme suffit.",
    steps: [
      "Séchez l’éprouvette dedans et dehors, posez-la sur la balance et faites la tare.",
      "Versez de l’eau jusqu’à un repère : l’œil à sa hauteur, le bas du ménisque dessus.",
      "Saisissez ce qu’indique la balance, et la température de l’eau.",
    ],
    nominal: "Repère",
    nominalHint: "Ce qui y est imprimé. Les deux repères de remplissage comptent le plus.",
    nominalHintPercent:
      "En millilitres. Sur une échelle en pour cent, pesez le repère d’eau et le repère de carburant.",
    mass: "L’eau pèse",
    temperature: "Température de l’eau",
    resolution: "La balance affiche par pas de",
    coarse: "Au gramme entier, environ un demi-millilitre reste incertain. Le dixième vaut mieux.",
    holds: (volume) => `Ce repère vaut ${volume}.`,
    verdict: {
      impossible: (most) =>
        `Aucune éprouvette ne se trompe d’autant ; ${most} au plus. Vérifiez le repère, la masse, et que la balance était à zéro avec l’éprouvette vide.`,
      beyond_tolerance: (excess, tolerance) =>
        `L’écart avec la valeur imprimée est de ${excess}, plus que l’erreur maximale tolérée de ${tolerance}. Pesez-le encore une fois.`,
      within: (excess) => `L’écart avec la valeur imprimée est de ${excess} : cette pesée ne le distingue pas de zéro.`,
      differs: (excess) => `L’écart avec la valeur imprimée est de ${excess}.`,
    },
    keep: "Enregistrer ce repère",
    full: "Pas de place pour un repère de plus. Supprimez-en un d’abord.",
    list: "Pesés jusqu’ici",
    row: (nominal) => `Repère ${nominal}`,
    of: (mass, temperature, day) => `${mass} à ${temperature}, ${day}`,
    drop: "Supprimer",
    dropWhich: (nominal) => `le repère ${nominal}`,
    one: "Un seul repère décale toute l’échelle. Pesez aussi l’autre repère de remplissage.",
    exact: "Désormais, les résultats utilisent ces volumes au lieu des volumes imprimés, comme s’ils étaient exacts.",
    gram: "g",
  },

  check: {
    title: "Contrôler l’échelle",
    lead: "Sur une échelle régulière, la graduation 50 % est à mi-chemin entre les deux repères de remplissage. Sur une échelle corrigée de la contraction, elle est plus bas.",
    notNeeded: "Ce contrôle demande une échelle en pour cent et de l’eau comme premier liquide.",
    steps: [
      "Posez une règle le long de l’éprouvette ; son zéro n’importe où sous le repère d’eau.",
      "Lisez les hauteurs du repère d’eau et du repère de carburant.",
      "Lisez les hauteurs d’au moins trois graduations en pour cent, bien écartées.",
    ],
    water: "Repère d’eau à",
    fuel: "Repère de carburant à",
    mark: (number) => `Graduation ${number}`,
    printed: (number) => `Valeur de la graduation ${number}`,
    height: (number) => `Hauteur de la graduation ${number}`,
    more: "Une graduation de plus",
    fault: {
      order: "Le repère de carburant doit être au-dessus du repère d’eau.",
      outside: "Une graduation en pour cent est entre le repère d’eau et le repère de carburant.",
      repeated: "Cette graduation est déjà là.",
      falling: "Une graduation plus grande doit être plus haut qu’une plus petite.",
    },
    kind: {
      linear: "L’échelle est régulière.",
      corrected: "L’échelle est corrigée de la contraction.",
      cannot_tell: "Les hauteurs ne permettent pas de conclure.",
    },
    why: {
      neither:
        "Elles ne vont avec aucun des deux types. Relisez-les, et vérifiez quels sont les repères de remplissage.",
      alike:
        "Les deux types vont à peu près aussi bien. Lisez d’autres graduations, bien écartées, au demi-millimètre.",
    },
    fits: "Écart typique des graduations à chaque type",
    linear: "Graduations régulières",
    corrected: "Corrigée de la contraction",
    accept: {
      linear: "Retenir : échelle régulière",
      corrected: "Retenir : échelle corrigée de la contraction",
    },
    same: "C’est ce qui est déjà saisi pour cette éprouvette.",
    keep: "Enregistrer les hauteurs, laisser l’échelle comme elle est",
    keepSame: "Enregistrer les hauteurs",
    millimetres: "mm",
  },

  sample: {
    title: "Tester un échantillon connu",
    lead: "Un carburant dont vous connaissez la teneur, par un laboratoire par exemple, montre de combien cette éprouvette indique trop bas ou trop haut. Testez-le dans cette éprouvette, enregistrez l’essai, puis revenez le choisir ici.",
    scaleFirst: "Trouvez d’abord le type d’échelle de cette éprouvette.",
    none: "Aucun essai enregistré n’a été fait dans cette éprouvette.",
    toTest: "Commencer un essai",
    test: "L’essai du carburant connu",
    line: (reading, day, name) => [reading, day, name].filter(Boolean).join(", "),
    known: "Sa teneur connue",
    knownUncertainty: "Incertitude, ±",
    knownUncertaintyHint: "À 95 %, comme sur son certificat. Obligatoire.",
    measured: "Cette éprouvette a trouvé",
    measuredHint: "sans aucun décalage",
    knownTo: "Connue",
    offset: "L’éprouvette indique",
    low: (points) => `${points} trop bas`,
    high: (points) => `${points} trop haut`,
    significant: "Plus que les deux incertitudes n’expliquent : appliquer ce décalage améliore les résultats.",
    insignificant: "Les deux incertitudes réunies expliquent cet écart. Il n’y a pas de raison de l’appliquer.",
    carries:
      "Un décalage a sa propre incertitude, faite de celle de l’échantillon et de celle de cet essai ; elle entre dans chaque résultat, n’ajoutez donc rien ailleurs.",
    impossible: (most) =>
      `Aucune éprouvette ne se trompe de plus de ${most}. Vérifiez l’échelle, l’échantillon et l’essai.`,
    take: "Appliquer ce décalage",
    leave: "Ne pas l’appliquer",
    now: (offset) => `L’éprouvette a déjà un décalage de ${offset}. Un autre le remplacera.`,
    drop: "Supprimer le décalage actuel",
  },

  tests: {
    title: "Essais faits dans cette éprouvette",
    none: "Aucun des essais enregistrés n’a été fait avec elle.",
    counting: "Examen de ses essais…",
    all: (tests) => `${tests}, à jour avec ce que l’on sait maintenant.`,
    some: (changed, all) => `${changed} sur ${all} : le résultat changerait avec ce que l’on sait maintenant.`,
    largest: (points, before, after) =>
      `Le plus grand changement de teneur est de ${points} points : de ${before} à ${after}.`,
    onlyUncertainty: (before, after) => `Les teneurs restent ; leur incertitude change : de ${before} à ${after}.`,
    shared: (shared) => `Dont partagés : ${shared} ; une nouvelle révision de chacun partira.`,
    impossible: (tests) =>
      `Impossible à recalculer avec l’éprouvette telle qu’elle est : ${tests}. La limite y a été lue sur un autre type d’échelle. Rien n’y change.`,
    act: (tests) => `Recalculer ${tests}`,
    hint: "L’ancien résultat reste à côté de chaque nouvelle révision. Pour annuler, remettez l’éprouvette comme avant et recalculez.",
    working: (done, all) => `${done} sur ${all} examinés`,
    done: (tests) => `Recalculé : ${tests}.`,
  },

  history: {
    title: "Ce qui a changé",
    made: "Saisie sur ce téléphone",
    none: "aucun",
    scale: (before, after) => `Échelle : ${after} (avant : ${before})`,
    liquid: (before, after) => `Premier liquide : ${after} (avant : ${before})`,
    graduation: (before, after) => `Plus petite graduation : ${after} (avant : ${before})`,
    tolerance: (before, after) => `Erreur maximale tolérée : ${after} (avant : ${before})`,
    water_mark: (before, after) => `Repère d’eau : ${after} (avant : ${before})`,
    fuel_mark: (before, after) => `Repère de carburant : ${after} (avant : ${before})`,
    weighed: (nominal, volume) => `Repère ${nominal} pesé : ${volume}`,
    weighing_dropped: (nominal, volume) => `Repère ${nominal}, pesé à ${volume}, supprimé`,
    scale_checked: (marks, verdict) => `Hauteurs de ${marks} mesurées : ${verdict}`,
    markOne: "graduation",
    markMany: "graduations",
    offset_taken: (offset, known, measured) =>
      `Décalage ${offset} appliqué : un échantillon à ${known} a donné ${measured}`,
    offset_dropped: (offset) => `Décalage ${offset} supprimé`,
    recomputed: (tests) => `Recalculé : ${tests}`,
  },
};
