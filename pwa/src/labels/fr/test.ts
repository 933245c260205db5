import type { Labels } from "..";
import { result } from "./result";

/** The words of the Test place: the run sheet, from the source to the kept test. */
export const test: Labels["test"] = {
  title: "Essai",
  lead: "Une seule fiche, de haut en bas. Chaque saisie est enregistrée aussitôt.",
  startedAt: (moment) => `Fiche commencée le ${moment}`,
  clear: "Effacer cette fiche",
  clearBack: "La continuer",
  busyAsk: "Une fiche est en cours",
  busyWhat: "Elle concerne un autre échantillon. En commencer une nouvelle ici et la perdre, ou la continuer ?",
  busyNew: "Commencer une nouvelle fiche",
  saveFault:
    "Cette saisie n’a pas pu être enregistrée sur le téléphone. Libérez de la place, puis modifiez-la encore une fois.",
  loading: "Ouverture de votre fiche…",
  change: "Modifier",
  ready: "Prêt",
  readyAct: "Le faire maintenant",
  goOn: "Continuer",
  stage: (number, title) => `${number}. ${title}`,

  source: {
    title: "Station",
    ask: "D’où vient le carburant ?",
    find: "Nom ou pompe",
    near: "Les plus proches d’abord",
    recent: "Me situer pour voir les plus proches d’abord",
    locate: "Me situer",
    locating: "Recherche de votre position…",
    none: "Aucune station connue n’a cela dans son nom.",
    noneAtAll: "Ce téléphone ne connaît encore aucune station. Ajoutez celle où vous êtes.",
    more: (left) => `Afficher la suite, encore ${left}`,
    add: "Ajouter une station",
    sampledAsk: "Échantillon prélevé",
    sampledFault: "Choisissez où l’échantillon a été prélevé.",
    sampled: { pump: "à la pompe", can: "dans un jerrican", tank: "dans un réservoir" },
    sampledShort: { pump: "de la pompe", can: "d’un jerrican", tank: "d’un réservoir" },
    whenAsk: "Quand",
    whenNow: "à l’instant",
    whenEarlier: "plus tôt",
    when: "Jour et heure",
    whenFault: "C’est dans le futur. Donnez le moment où le carburant a été prélevé.",
    unknown: "Une station qui n’est plus sur ce téléphone",
  },

  tube: {
    title: "Éprouvette et températures",
    ask: "Éprouvette",
    add: "Ajouter une éprouvette",
    known: "Ce que l’on en sait",
    addFirst: "Décrivez votre éprouvette une fois. Elle sera proposée à chaque essai.",
    temperatureHow: "Mesurée ou estimée ?",
    measured: "mesurée",
    guessed: "estimée",
    guessedHint: "Une estimation rend le résultat moins certain. Une eau restée ici est à la température de l’air.",
    measuredHint: "Avec un thermomètre dans l’eau, avant de la verser.",
    waterTemperature: "Température de l’eau",
    fuelTemperature: "Température du carburant",
    fuelTemperatureHint: (degrees) =>
      `Tel qu’il sort de la pompe ou du jerrican. Sans valeur, il compte comme aussi chaud que l’eau, à ${degrees} près.`,
    fuelTemperatureHow: "Carburant : mesurée ou estimée ?",
    waterShort: (degrees) => `eau ${degrees}`,
    fuelShort: (degrees) => `carburant ${degrees}`,
    fuelWater: "Eau déjà dans le carburant",
    fuelWaterHint:
      "L’éprouvette ne distingue pas cette eau de l’éthanol : elle est donc déduite. Les normes admettent environ 1 % ; sans valeur connue, laissez 0,5 %.",
    fuelWaterNow: (value) => `Eau dans le carburant : ${value}`,
    temperatureFault: "Saisissez la température de l’eau. Sans thermomètre, estimez-la.",
    fuelWaterShort: (value) => `${value} d’eau dans le carburant`,
    unused: "Une éprouvette qui n’est plus sur ce téléphone",
  },

  tubeForm: {
    addTitle: "Une nouvelle éprouvette",
    editTitle: "Votre éprouvette",
    scaleAsk: "Qu’est-ce qui est imprimé dessus ?",
    scale: {
      volume: { label: "Millilitres", hint: "De simples graduations, par exemple de 0 à 100 mL." },
      linear: {
        label: "Pour cent, espacés régulièrement",
        hint: "Toutes les graduations ont la même hauteur. Une telle échelle oublie que l’éthanol et l’eau se contractent en se mélangeant ; le calcul le fait pour vous.",
      },
      corrected: {
        label: "Pour cent, contraction comprise",
        hint: "La hauteur des graduations change le long de l’éprouvette, ou le fabricant dit qu’elle montre la teneur en éthanol elle-même.",
      },
      unknown: {
        label: "Pour cent, je ne sais pas lesquels",
        hint: "Le résultat est alors un intervalle, large d’environ 6 points à 85 %, jusqu’à ce que vous le sachiez.",
      },
    },
    waterMark: "Repère d’eau",
    waterMarkHint: "Jusqu’où l’on verse l’eau.",
    fuelMark: "Repère de carburant",
    fuelMarkHint: "Jusqu’où monte le tout, eau et carburant ensemble.",
    fuelMarkFault: "Le repère de carburant doit être au-dessus du repère d’eau.",
    missing: "Entrez d’abord les deux repères et la plus petite graduation.",
    graduation: "Plus petite graduation",
    liquidAsk: "On y verse d’abord",
    liquid: { water: "de l’eau", brine: "de la saumure, 10 % de sel" },
    brineHint:
      "100 g de chlorure de sodium, complétés à 1 L avec de l’eau (NBR 13992). La décantation prend 15 minutes.",
    brineScale: "La saumure demande une éprouvette graduée en millilitres.",
    tolerance: "Erreur maximale tolérée des repères",
    toleranceHint: "Si elle est imprimée dessus, comme ± 0,5 mL. Sinon, laissez vide.",
    name: "Nom de cette éprouvette",
    nameHint: "Pour la distinguer de vos autres. Il reste sur ce téléphone.",
    nameOffered: (mark) => `Éprouvette ${mark}`,
    save: "Garder cette éprouvette",
    back: "Retour",
    finer: "Nom et erreur maximale tolérée",
  },

  before: {
    title: "Avant de verser",
    caution: "Le carburant et ses vapeurs s’enflamment facilement",
    points: [
      "Ni flamme, ni cigarette, ni moteur chaud à proximité.",
      "Posez ce téléphone à l’écart et débranché pendant que vous versez ; touchez d’abord du métal nu pour vous décharger de l’électricité statique.",
      "Dehors ou portes ouvertes : les vapeurs descendent et s’accumulent.",
      "Gants et lunettes ; le carburant attaque la peau et les yeux.",
      "Remplissez le jerrican posé au sol, jamais dans un véhicule ni sur un revêtement de benne.",
      "Ce que disent la station, la fiche de données de sécurité et les règles locales passe avant tout.",
    ],
    done: "J’ai lu",
    short: "Précautions lues",
  },

  run: {
    heading: (number) => `Mesure ${number}`,
    removeShort: "Enlever",
  },

  fill: {
    title: "Remplir",
    water: (liquid, mark) => `${liquid} jusqu’au repère ${mark}`,
    liquid: { water: "Eau", brine: "Saumure" },
    fuel: (mark) => `Carburant par-dessus, jusqu’au repère ${mark}`,
    eye: "L’œil à hauteur du repère, le point le plus bas de la surface dessus.",
    overshot: "Pas exactement aux repères",
    waterAt: "L’eau est à",
    topAt: "Le carburant est à",
    topFault: "Le carburant doit être au-dessus de l’eau.",
    missing: "Entrez d’abord les deux niveaux.",
    done: "Les deux sont versés",
    short: (water, liquid, fuel) => `${water} ${liquid}, ${fuel} de carburant`,
    liquidShort: { water: "d’eau", brine: "de saumure" },
    tubeAsk: "Dans quelle éprouvette ?",
    tubeHint: "Deux éprouvettes différentes se contrôlent l’une l’autre.",
  },

  shake: {
    title: "Fermer, retourner, dégazer",
    points: [
      "Fermez l’éprouvette.",
      "Retournez-la dix fois, lentement et complètement.",
      "Entrouvrez-la debout, loin du visage : la pression est montée.",
    ],
    done: (minutes) => `C’est fait : lancer les ${minutes}\u00a0minutes`,
    doneOnly: "C’est fait, sans minuterie",
    short: "Retournée dix fois, dégazée",
  },

  settle: {
    title: "Laisser décanter",
    hint: "Posez-la debout, à l’abri du soleil et du vent. Le reste de l’application s’utilise pendant ce temps.",
    short: "Décantée",
    look: "Voir",
    running: (left) => `Décantation, encore ${left}`,
    beside: "Une seconde éprouvette du même type sous la main ?",
    besideHint: "Les deux décantent côte à côte, chacune avec sa minuterie. Marquez-les pour ne pas les confondre.",
    besideAct: (number) => `Y commencer la mesure ${number} maintenant`,
  },

  warm: {
    degrees: (above, uncertainty) => `${above}\u00a0±\u00a0${uncertainty}`,
    note: (degrees, now, later, half, minutes) =>
      `Le mélange a réchauffé l’éprouvette : elle est encore à environ ${degrees} de plus. Lue comme si elle était froide, elle donnerait ${now} point de trop maintenant, ${later} dans ${minutes} minutes (± ${half}). Mesurez sa température en lisant ; sinon, cette estimation est utilisée.`,
  },

  line: {
    title: "Lire le trait",
    hint: "Là où les deux couches se séparent. L’œil à sa hauteur.",
    volume: "Le trait est à",
    percent: "L’échelle montre",
    drag: "Glissez le long de l’éprouvette, puis utilisez − et +.",
    temperatureAsk: "Saisir la température dans l’éprouvette",
    temperature: "Température dans l’éprouvette",
    temperatureHint:
      "Mesurée dans la couche du bas au moment de lire. Sans thermomètre, laissez vide : elle est estimée.",
    topAsk: "Lire aussi le haut du carburant",
    topHint: "Un second avis, sans correction de contraction.",
    top: "Haut du carburant",
    topFault: "Le haut du carburant est au-dessus du trait.",
    missing: "Lisez d’abord la limite : glissez le long de l’éprouvette, ou tapez-la.",
    photo: "Photo",
    photoOptional: "Facultative. Elle permet à d’autres de vérifier la lecture.",
    photoRead: "Lire le trait sur cette photo",
    photoAgain: "Revoir les repères",
    photoTaken: (half) => `Lu sur la photo, ± ${half}. Si vous changez le nombre, c’est une lecture à l’œil.`,
    photoScale: "Quand vous connaîtrez le type d’échelle de cette éprouvette, son trait pourra se lire sur une photo.",
    photoBottomHint: (water, fuel) =>
      `Toute graduation sous le repère d’eau ; un fond plat vaut 0 mL. Le repère d’eau est la graduation ${water}, le repère de carburant la graduation ${fuel}.`,
    photoMost: "Un essai a six photos au plus.",
    done: "C’est ma lecture",
    short: (value) => `Trait à ${value}`,
  },

  next: {
    second: "Une deuxième mesure rend le résultat plus certain et révèle une erreur.",
    enough: "Les mesures concordent.",
    rest: "Les mesures qui comptent concordent.",
    differ: "Une mesure de plus peut montrer laquelle s’écarte.",
    act: (number) => `Commencer la mesure ${number}`,
    more: "Une mesure de plus",
    clean: "D’abord vider, rincer et sécher l’éprouvette : ce qui y reste fausse la mesure suivante.",
  },

  result,

  aside: {
    title: "La mesure qui s’écarte",
    offer: (number) =>
      `Sans la mesure ${number}, les autres concordent. Si vous savez ce qui a mal tourné, écartez-la.`,
    reason: "Qu’est-ce qui a mal tourné ?",
    reasonHint: "Mal lue, renversée, limite trouble… La raison accompagne l’essai.",
    reasonFault: "Dites d’abord ce qui a mal tourné avec cette mesure.",
    act: (number) => `Écarter la mesure ${number}`,
    done: (number, why) => `La mesure ${number} est écartée : ${why}. Elle reste dans l’essai mais ne compte pas.`,
    undo: (number) => `Reprendre la mesure ${number}`,
  },

  odd: {
    above: (content, points, expected) =>
      `${content} : nettement au-dessus de ce que cette station a donné, de ${points} points au-dessus des ${expected} attendus pour 9 pleins sur 10.`,
    below: (content, points, expected) =>
      `${content} : nettement au-dessous de ce que cette station a donné, de ${points} points au-dessous des ${expected} attendus pour 9 pleins sur 10.`,
    repeat: "Refaites la mesure, ou vérifiez l’éprouvette et son échelle.",
    again: "Refaites un essai ici, ou vérifiez l’éprouvette et son échelle.",
    on: (day, sentence) => `${day} : ${sentence}`,
  },

  keep: {
    title: "Garder",
    noteAdd: "Ajouter une note",
    note: "Note",
    noteHint: "Ce que devrait savoir qui lira cela plus tard.",
    share: "Partager cet essai",
    shareHint:
      "Station, mesures, note et photos vont dans la liste publique sous CC0-1.0 : chacun peut en faire ce qu’il veut. Chacun peut apprendre la station, le jour, le résultat et la note, et que vos résultats d’une même région et d’une même année viennent d’une seule personne ; qui observe le serveur voit quand un essai arrive.",
    ask: "Partager vos essais ?",
    askHint: "Ce qui est public ne peut plus être repris. Vous pourrez changer de réponse pour la suite.",
    act: "Garder cet essai",
    actShared: "Garder et partager cet essai",
    working: "Enregistrement…",
    full: "La mémoire de ce téléphone est pleine. La fiche est conservée : libérez de la place, puis gardez l’essai.",
    fault: "L’essai n’a pas pu être gardé. Rien n’est perdu : recommencez.",
  },

  correct: {
    title: "Corriger un essai enregistré",
    lead: (former) => `Il donnait ${former}. Changez ce qui est faux, puis enregistrez une nouvelle révision.`,
    act: "Enregistrer la correction",
    later: "Plus tard",
    discard: "Abandonner ces changements",
    not: "Cet essai ne peut pas être corrigé sur ce téléphone.",
  },

  kept: {
    title: "Gardé",
    private: "L’essai est sur ce téléphone et y reste.",
    waiting: "L’essai est sur ce téléphone. Il part dès que le serveur répond.",
    needsPosition: "L’essai est sur ce téléphone. Il part dès que sa station a une position.",
    log: "Le voir dans le carnet",
    source: "Voir sa station",
    again: "Commencer une nouvelle fiche",
  },

  after: {
    caution: "L’éprouvette contenait du carburant et de l’eau",
    points: [
      "Jamais dans un égout, un fossé ni sur le sol : l’éthanol et le carburant partent avec l’eau.",
      "Recueillez le tout dans un jerrican fermé, marqué comme déchet de carburant ; remettez-le selon les règles locales pour les déchets dangereux.",
      "Rincez l’éprouvette à l’eau et laissez-la sécher : ce qui y reste fausse la mesure suivante.",
      "L’acétone et l’alcool sont inflammables, et ce qu’il en reste se lit comme de l’alcool : si vous en utilisez, rincez ensuite à l’eau et laissez sécher.",
      "Ne conservez jamais de carburant dans l’éprouvette. Mettez au rebut une éprouvette fendillée, trouble ou dont les repères s’effacent.",
      "Lavez-vous les mains. Les chiffons mouillés sèchent dehors, étalés.",
    ],
  },
};
