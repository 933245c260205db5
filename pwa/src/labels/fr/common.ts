import type { Labels } from "..";

/** Words used in more than one place. */
export const common: Labels["common"] = {
  name: "Splitline",
  description: "Mesurez à l’éprouvette la teneur en éthanol du carburant, et voyez quelle station est régulière.",
  skip: "Aller au contenu",
  bar: "Rubriques",
  places: { test: "Essai", sources: "Stations", fuel: "Carburant", log: "Carnet" },
  opening: "Ouverture…",
  absent:
    "Cette partie de l’application n’est pas encore chargée. Ce qui est gardé reste gardé ; réessayez, si possible avec du réseau.",
  demo: "Données de démonstration inventées. Aucune de ces stations n’existe.",

  insecure: "Cette adresse n’est pas en https. L’application ne peut ni rester sur le téléphone, ni rien envoyer.",
  unsent: (records) => `Pas encore envoyé : ${records}`,
  record: "élément",
  records: "éléments",
  parked: (records) => `Refusé par le serveur : ${records}`,
  parkedLook: "Voir dans le carnet",
  exchanging: "Synchronisation avec le serveur…",
  exchanged: (ago) => `Dernière synchronisation : ${ago}`,
  neverExchanged: "Pas encore synchronisé",
  troubled: (why) => `Dernière tentative sans succès : ${why}`,
  trouble: {
    no_answer: "le serveur ne répond pas",
    too_slow: "le serveur a mis trop de temps",
    not_understood: "la réponse n’a pas été comprise",
    not_admitted: "le serveur n’a pas accepté la clé secrète de ce téléphone",
    server_fault: "le serveur est en panne",
    refused: "le serveur a refusé la demande",
  },

  clock: {
    behind: (span) => `L’horloge de ce téléphone retarde de ${span} sur celle du serveur.`,
    ahead: (span) => `L’horloge de ce téléphone avance de ${span} sur celle du serveur.`,
    what: "Les essais reçoivent de fausses heures. Réglez la date et l’heure du téléphone ; ce qui a été gardé entre-temps se corrige dans le carnet.",
  },

  updateReady: "Une nouvelle version est prête.",
  updateTake: "La charger maintenant",
  updateLater: "Elle se chargera quand l’éprouvette aura décanté et que vous serez d’accord.",

  moved: {
    what: (tests) =>
      `Un meilleur calcul : ${tests} à vous, recalculés. Il tient compte de l’essence qu’un carburant fort laisse dans l’eau et de la chaleur du mélange : dans un tube rempli moitié-moitié, un carburant fort donne environ un point de moins.`,
    largest: (before, after) =>
      `Le plus grand écart : ${before} est devenu ${after}. Chaque test montre encore son ancien résultat.`,
  },

  storage: {
    old_tab:
      "Splitline est ouvert dans un autre onglet, dans une version plus ancienne. Fermez cet onglet pour continuer.",
    new_tab: "Un autre onglet a chargé une version plus récente. Rechargez celui-ci ; la fiche est conservée.",
    lost: "La mémoire de ce téléphone ne répond pas. Laissez cette page ouverte, puis rechargez-la.",
    full: "La mémoire de ce téléphone est presque pleine. Effacez dans les réglages les photos qui sont aussi sur le serveur.",
  },
  storageLook: "Réglages",
  loadAgain: "Recharger",
  evictionTitle: "Absent de l’écran d’accueil",
  eviction:
    "Safari peut effacer ce que cette page conserve si elle reste fermée quelques semaines. Ajoutez-la à l’écran d’accueil, ou enregistrez le fichier de secours.",
  evictionUnsent: (records) => `Ce serait perdu : ${records}.`,
  evictionSave: "Fichier de secours",
  failed: (what) => `Cela n’a pas marché (${what}). Recommencez.`,
  understood: "Compris",

  faultTitle: "Cette page s’est arrêtée",
  faultBody: "Ce que vous avez enregistré est conservé, la fiche aussi.",
  faultAgain: "Réessayer",
  faultRepair: "Réinstaller l’application",
  repairTitle: "Réinstaller l’application",
  repairBody:
    "Retire le programme de ce téléphone et le recharge depuis le serveur. Les essais, les stations, les éprouvettes et la fiche restent. Il faut une connexion.",
  repairAct: "Retirer et recharger",
  repairOffline:
    "Le serveur ne répond pas. Réessayez avec une connexion ; l’application marche encore telle qu’elle est.",
  lost: "Il n’y a rien à cette adresse.",
  back: "Retour",
  choose: "Choisissez dans la liste\u00a0: cela s’ouvre ici.",
};
