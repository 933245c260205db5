import type { Labels } from "..";

/** Labels used in more than one place. */
export const common: Labels["common"] = {
  name: "Splitline",
  description:
    "Mesurez la teneur en éthanol de votre carburant avec une éprouvette, et repérez les stations régulières.",
  skip: "Aller au contenu",
  bar: "Rubriques",
  places: { test: "Essai", sources: "Stations", fuel: "Carburant", log: "Carnet" },
  opening: "Ouverture…",
  absent:
    "Cette partie de l’application ne s’est pas chargée. Ce que vous avez enregistré est conservé ; réessayez, si possible avec du réseau.",
  demo: "Données de démonstration inventées. Aucune de ces stations n’existe.",

  insecure:
    "Cette adresse n’est pas en https : l’application ne peut ni s’installer sur le téléphone, ni rien envoyer.",
  unsent: (records) => `En attente d’envoi : ${records}`,
  record: "élément",
  records: "éléments",
  test: "essai",
  tests: "essais",
  parked: (records) => `Refusé par le serveur : ${records}`,
  parkedLook: "Voir dans le carnet",
  exchanging: "Synchronisation avec le serveur…",
  exchanged: (ago) => `Dernière synchronisation : ${ago}`,
  neverExchanged: "Pas encore synchronisé",
  troubled: (why) => `Échec de la dernière tentative : ${why}`,
  trouble: {
    no_answer: "le serveur ne répond pas",
    too_slow: "le serveur a mis trop de temps",
    not_understood: "la réponse du serveur est illisible",
    not_admitted: "le serveur a refusé la clé secrète de ce téléphone",
    server_fault: "le serveur est en panne",
    refused: "le serveur a refusé la demande",
  },
  answerUnknown: (word) =>
    `Le serveur a répondu « ${word} », que cette version ne connaît pas. Mettez l’application à jour, puis réessayez.`,

  clock: {
    behind: (span) => `L’horloge de ce téléphone retarde de ${span} sur celle du serveur.`,
    ahead: (span) => `L’horloge de ce téléphone avance de ${span} sur celle du serveur.`,
    what: "Vos essais sont mal datés. Réglez la date et l’heure du téléphone ; vous pourrez corriger dans le carnet les essais déjà enregistrés.",
  },

  updateReady: "Une nouvelle version est prête.",
  updateTake: "Mettre à jour",
  updateLater: "Vous pourrez l’installer quand la décantation sera finie.",

  moved: {
    what: (tests) =>
      `Un meilleur calcul pour ${tests} de votre carnet. Il tient compte de l’essence qu’un carburant riche en éthanol laisse dans l’eau et de la chaleur du mélange : dans une éprouvette remplie moitié eau, moitié carburant, un carburant riche donne environ un point de moins.`,
    largest: (before, after) =>
      `Plus grand changement : de ${before} à ${after}. Chaque essai montre encore son ancien résultat.`,
  },

  storage: {
    old_tab:
      "Splitline est ouvert dans un autre onglet, dans une version plus ancienne. Fermez cet autre onglet pour continuer.",
    new_tab: "Un autre onglet a chargé une version plus récente. Rechargez celui-ci ; l’essai en cours est conservé.",
    lost: "Le stockage de ce téléphone ne répond pas. Laissez cette page ouverte, puis rechargez-la.",
    full: "Le stockage de ce téléphone est presque plein. Supprimez, dans les réglages, les photos déjà sur le serveur.",
  },
  storageLook: "Réglages",
  loadAgain: "Recharger",
  evictionTitle: "Absent de l’écran d’accueil",
  eviction:
    "Safari peut effacer les données de cette page si vous ne l’ouvrez pas pendant quelques semaines. Ajoutez-la à l’écran d’accueil, ou enregistrez le fichier de secours.",
  evictionUnsent: (records) => `Vous perdriez ${records}.`,
  evictionSave: "Fichier de secours",
  failed: (what) => `Cela n’a pas marché (${what}). Réessayez.`,
  understood: "Compris",

  faultTitle: "Cette page s’est arrêtée",
  faultBody: "Ce que vous avez enregistré est conservé, l’essai en cours aussi.",
  faultAgain: "Réessayer",
  faultRepair: "Réinstaller l’application",
  repairTitle: "Réinstaller l’application",
  repairBody:
    "Supprime l’application de ce téléphone et la télécharge de nouveau depuis le serveur. Vos essais, stations et éprouvettes restent, l’essai en cours aussi. Il faut du réseau.",
  repairAct: "Supprimer et retélécharger",
  repairOffline: "Le serveur ne répond pas. Réessayez avec du réseau ; d’ici là, l’application marche comme avant.",
  lost: "Il n’y a rien à cette adresse.",
  back: "Retour",
  choose: "Choisissez dans la liste : la page s’ouvre ici.",
};
