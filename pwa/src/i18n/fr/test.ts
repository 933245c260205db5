import type { Labels } from "..";

/** Labels of the Test place: the run sheet, from the source to the saved test. */
export const test: Labels["test"] = {
  title: "Essai",
  lead: "Suivez les étapes de haut en bas. Chaque saisie est enregistrée aussitôt.",
  startedAt: (moment) => `Essai commencé le ${moment}`,
  clear: "Abandonner cet essai",
  clearBack: "Le continuer",
  busyAsk: "Un essai est déjà en cours",
  busyWhat: "Il concerne un autre échantillon. L’abandonner et en commencer un nouveau ici, ou le continuer ?",
  busyNew: "Commencer un nouvel essai",
  saveFault:
    "Cette saisie n’a pas pu être enregistrée sur le téléphone. Libérez de la place, puis modifiez-la de nouveau.",
  loading: "Ouverture de votre essai…",
  change: "Modifier",
  ready: "Prêt",
  readyAct: "Le faire maintenant",
  goOn: "Continuer",
  stage: (number, title) => `${number}. ${title}`,

  source: {
    title: "Station",
    ask: "D’où vient le carburant ?",
    find: "Rechercher par nom ou pompe",
    near: "Les plus proches d’abord",
    recent: "Me localiser pour voir les plus proches d’abord",
    locate: "Me localiser",
    locating: "Localisation…",
    none: "Aucune station connue ne porte ce nom.",
    noneAtAll: "Ce téléphone ne connaît encore aucune station. Ajoutez celle où vous êtes.",
    more: (left) => `Afficher la suite (encore ${left})`,
    add: "Ajouter une station",
    sampledAsk: "Échantillon prélevé",
    sampledFault: "Dites où vous avez prélevé l’échantillon.",
    sampled: { pump: "à la pompe", can: "dans un jerrican", tank: "dans un réservoir" },
    sampledShort: { pump: "à la pompe", can: "dans un jerrican", tank: "dans un réservoir" },
    whenAsk: "Quand ?",
    whenNow: "à l’instant",
    whenEarlier: "plus tôt",
    when: "Jour et heure",
    whenFault: "C’est dans le futur. Indiquez quand vous avez prélevé le carburant.",
    unknown: "Une station qui n’est plus sur ce téléphone",
  },

  tube: {
    title: "Éprouvette et températures",
    ask: "Éprouvette",
    add: "Ajouter une éprouvette",
    known: "Détails de l’éprouvette",
    addFirst: "Décrivez votre éprouvette une fois ; elle vous sera proposée à chaque essai.",
    temperatureHow: "Mesurée ou estimée ?",
    measured: "mesurée",
    guessed: "estimée",
    guessedHint: "Une estimation rend le résultat moins certain. De l’eau restée ici est à la température de l’air.",
    measuredHint: "Avec un thermomètre dans l’eau, avant de la verser.",
    waterTemperature: "Température de l’eau",
    fuelTemperature: "Température du carburant",
    fuelTemperatureHint: (degrees) =>
      `À la sortie de la pompe ou du jerrican. Si vous laissez vide, l’application prend celle de l’eau, à ${degrees} près.`,
    fuelTemperatureHow: "Carburant : mesurée ou estimée ?",
    waterShort: (degrees) => `eau ${degrees}`,
    fuelShort: (degrees) => `carburant ${degrees}`,
    fuelWater: "Eau déjà dans le carburant",
    fuelWaterHint:
      "L’éprouvette ne distingue pas cette eau de l’éthanol : l’application la déduit. Les normes admettent environ 1 % ; sans valeur connue, laissez 0,5 %.",
    fuelWaterNow: (value) => `Eau déjà dans le carburant : ${value} (modifier)`,
    temperatureFault: "Saisissez la température de l’eau. Sans thermomètre, estimez-la.",
    fuelWaterShort: (value) => `${value} d’eau dans le carburant`,
    unused: "Une éprouvette qui n’est plus sur ce téléphone",
  },

  tubeForm: {
    addTitle: "Nouvelle éprouvette",
    editTitle: "Votre éprouvette",
    scaleAsk: "Qu’est-ce qui est imprimé dessus ?",
    waterMark: "Repère d’eau",
    waterMarkHint: "Jusqu’où vous versez l’eau.",
    fuelMark: "Repère de carburant",
    fuelMarkHint: "Niveau de l’eau plus le carburant.",
    fuelMarkFault: "Le repère de carburant doit être au-dessus du repère d’eau.",
    missing: "Saisissez d’abord les deux repères et la plus petite graduation.",
    graduation: "Plus petite graduation",
    liquidAsk: "Premier liquide",
    liquid: { water: "eau", brine: "saumure, 10 % de sel" },
    brineHint:
      "100 g de chlorure de sodium, complétés à 1 L avec de l’eau (NBR 13992). La décantation prend 15 minutes.",
    brineScale: "Avec de la saumure, il faut une éprouvette graduée en millilitres.",
    tolerance: "Erreur maximale tolérée des repères",
    toleranceHint: "Si elle est imprimée dessus, par exemple ± 0,5 mL. Sinon, laissez vide.",
    name: "Nom de cette éprouvette",
    nameHint: "Pour la reconnaître parmi les autres. Il reste sur ce téléphone.",
    nameOffered: (mark) => `Éprouvette ${mark}`,
    save: "Enregistrer cette éprouvette",
    back: "Retour",
    finer: "Nom et tolérance",
  },

  before: {
    title: "Avant de verser",
    caution: "Le carburant et ses vapeurs s’enflamment facilement",
    points: [
      "Ni flamme, ni cigarette, ni moteur chaud à proximité.",
      "Débranchez ce téléphone et posez-le à l’écart avant de verser ; touchez d’abord du métal nu pour vous décharger de l’électricité statique.",
      "Dehors ou portes ouvertes : les vapeurs descendent et s’accumulent.",
      "Portez des gants et des lunettes de protection ; le carburant attaque la peau et les yeux.",
      "Remplissez le jerrican posé au sol, jamais dans un véhicule ni sur le bac de benne d’un pick-up.",
      "Les consignes de la station, la fiche de données de sécurité et les règles locales passent avant tout.",
    ],
    done: "J’ai lu",
    short: "Précautions lues",
  },

  run: {
    heading: (number) => `Mesure ${number}`,
    removeShort: "Supprimer",
  },

  fill: {
    title: "Remplir",
    water: (liquid, mark) => `${liquid} jusqu’au repère ${mark}`,
    liquid: { water: "Eau", brine: "Saumure" },
    fuel: (mark) => `Carburant par-dessus, jusqu’au repère ${mark}`,
    eye: "L’œil à hauteur du repère ; lisez le bas du ménisque.",
    overshot: "Trop ou pas assez versé",
    waterAt: "Niveau de l’eau",
    topAt: "Niveau total",
    topFault: "Le niveau total doit être au-dessus de celui de l’eau.",
    missing: "Saisissez d’abord les deux niveaux.",
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
      "Redressez-la et entrouvrez-la loin du visage : la pression est montée.",
    ],
    done: (minutes) => `C’est fait, lancer les ${minutes}\u00a0minutes`,
    doneOnly: "C’est fait, sans minuterie",
    short: "Retournée dix fois, dégazée",
  },

  settle: {
    title: "Laisser décanter",
    hint: "Posez-la à la verticale, à l’abri du soleil et du vent. En attendant, vous pouvez utiliser le reste de l’application.",
    short: "Décantée",
    look: "Voir",
    running: (left) => `Décantation, encore ${left}`,
    beside: "Vous avez une seconde éprouvette du même type ?",
    besideHint: "Les deux décantent côte à côte, chacune avec sa minuterie. Marquez-les pour ne pas les confondre.",
    besideAct: (number) => `Y commencer la mesure ${number}`,
  },

  warm: {
    degrees: (above, uncertainty) => `${above}\u00a0±\u00a0${uncertainty}`,
    note: (degrees, now, later, half, minutes) =>
      `Le mélange a réchauffé l’éprouvette : elle est encore plus chaude d’environ ${degrees}. Lue comme si elle était froide, elle donnerait ${now} point de trop maintenant, ${later} dans ${minutes} minutes (± ${half}). Mesurez sa température en lisant ; sinon, l’application prend cette estimation.`,
  },

  line: {
    title: "Lire la limite",
    hint: "Là où les deux couches se séparent. L’œil à sa hauteur.",
    volume: "Limite lue à",
    percent: "L’échelle indique",
    drag: "Faites glisser le long de l’éprouvette, puis utilisez − et +.",
    temperatureAsk: "Saisir la température dans l’éprouvette",
    temperature: "Température dans l’éprouvette",
    temperatureHint:
      "Mesurée dans la couche du bas au moment de lire. Sans thermomètre, laissez vide : l’application l’estime.",
    topAsk: "Lire aussi le haut du carburant",
    topHint: "Une seconde lecture, sans correction de la contraction.",
    top: "Haut du carburant",
    topFault: "Le haut du carburant doit être au-dessus de la limite.",
    missing: "Lisez d’abord la limite : faites glisser le long de l’éprouvette, ou tapez la valeur.",
    photo: "Photo",
    photoOptional: "Facultative. Elle permet à d’autres de vérifier la lecture.",
    photoRead: "Lire la limite sur cette photo",
    photoAgain: "Revoir les repères",
    photoTaken: (half) => `Lu sur la photo, ± ${half}. Si vous changez le nombre, c’est une lecture à l’œil.`,
    photoScale:
      "Quand vous connaîtrez le type d’échelle de cette éprouvette, vous pourrez lire la limite sur une photo.",
    photoBottomHint: (water, fuel) =>
      `N’importe quelle graduation sous le repère d’eau ; un fond plat vaut 0 mL, un fond rond ou pointu ne convient pas. Le repère d’eau est la graduation ${water}, le repère de carburant la graduation ${fuel}.`,
    photoMost: "Six photos au plus par essai.",
    done: "Utiliser cette lecture",
    short: (value) => `Limite à ${value}`,
  },

  next: {
    second: "Une deuxième mesure rend le résultat plus certain et révèle une erreur.",
    enough: "Les mesures concordent.",
    rest: "Les mesures qui comptent concordent.",
    differ: "Une mesure de plus peut montrer laquelle s’écarte.",
    act: (number) => `Commencer la mesure ${number}`,
    more: "Une mesure de plus",
    clean: "Videz, rincez et séchez d’abord l’éprouvette : un reste fausserait la mesure suivante.",
  },

  aside: {
    title: "La mesure qui s’écarte",
    offer: (number) =>
      `Sans la mesure ${number}, les autres concordent. Si vous savez ce qui a mal tourné, écartez-la.`,
    reason: "Que s’est-il passé ?",
    reasonHint: "Mal lue, renversée, limite trouble… Ce motif accompagne l’essai.",
    reasonFault: "Dites d’abord ce qui s’est passé avec cette mesure.",
    act: (number) => `Écarter la mesure ${number}`,
    done: (number, why) => `La mesure ${number} est écartée : ${why}. Elle reste dans l’essai mais ne compte pas.`,
    undo: (number) => `Compter de nouveau la mesure ${number}`,
  },

  odd: {
    above: (content, points, expected) =>
      `${content}, c’est nettement plus que ce que cette station a donné : ${points} points au-dessus des ${expected} attendus pour 9 pleins sur 10.`,
    below: (content, points, expected) =>
      `${content}, c’est nettement moins que ce que cette station a donné : ${points} points au-dessous des ${expected} attendus pour 9 pleins sur 10.`,
    repeat: "Refaites la mesure, ou vérifiez l’éprouvette et son échelle.",
    again: "Refaites un essai ici, ou vérifiez l’éprouvette et son échelle.",
    on: (day, sentence) => `${day} : ${sentence}`,
  },

  keep: {
    title: "Enregistrer",
    noteAdd: "Ajouter une note",
    note: "Note",
    noteHint: "Ce qu’il faudra savoir en relisant cet essai plus tard.",
    share: "Partager cet essai",
    shareHint:
      "Station, mesures, note et photos vont dans la liste publique sous CC0-1.0 : chacun peut en faire ce qu’il veut. Tout le monde peut voir la station, le jour, le résultat et la note, et savoir que vos résultats d’une même région et d’une même année viennent d’une seule personne ; celui qui surveille le serveur voit aussi quand un essai arrive.",
    ask: "Partager vos essais ?",
    askHint: "Ce qui est public ne se reprend pas. Vous pourrez changer de réponse pour les essais suivants.",
    act: "Enregistrer cet essai",
    actShared: "Enregistrer et partager cet essai",
    working: "Enregistrement…",
    full: "Le stockage de ce téléphone est plein. L’essai en cours est conservé : libérez de la place, puis enregistrez-le.",
    fault: "L’essai n’a pas pu être enregistré. Rien n’est perdu : réessayez.",
  },

  correct: {
    title: "Corriger un essai enregistré",
    lead: (former) => `Il donnait ${former}. Changez ce qui est faux, puis enregistrez une nouvelle révision.`,
    act: "Enregistrer la correction",
    later: "Plus tard",
    discard: "Abandonner ces changements",
    not: "Impossible de corriger cet essai sur ce téléphone.",
  },

  kept: {
    title: "Enregistré",
    private: "L’essai est sur ce téléphone et y reste.",
    waiting: "L’essai est sur ce téléphone. Il part dès que le serveur répond.",
    needsPosition: "L’essai est sur ce téléphone. Il part dès que sa station a une position.",
    log: "Le voir dans le carnet",
    source: "Voir sa station",
    again: "Nouvel essai",
  },

  after: {
    caution: "Le contenu de l’éprouvette est un déchet de carburant",
    points: [
      "Jamais dans un égout, un fossé ni sur le sol : l’éthanol et le carburant partent avec l’eau.",
      "Recueillez le tout dans un jerrican fermé, marqué comme déchet de carburant ; remettez-le selon les règles locales pour les déchets dangereux.",
      "Rincez l’éprouvette à l’eau et laissez-la sécher : un reste fausserait la mesure suivante.",
      "L’acétone et l’alcool sont inflammables, et ce qu’il en reste se lit comme de l’alcool : si vous en utilisez, rincez ensuite à l’eau et laissez sécher.",
      "Ne conservez jamais de carburant dans l’éprouvette. Mettez au rebut une éprouvette fendillée, trouble ou dont les repères s’effacent.",
      "Lavez-vous les mains. Étalez dehors, pour les faire sécher, les chiffons mouillés de carburant.",
    ],
  },
};
