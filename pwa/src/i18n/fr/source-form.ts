import type { Labels } from "..";

/** Labels for entering a station. */
export const sourceForm: Labels["sourceForm"] = {
  title: "Ajouter une station",
  editTitle: "Modifier cette station",
  name: "Nom",
  nameHint: "Comme sur l’enseigne, avec la ville.",
  nameFault: "Donnez un nom à la station, pour que d’autres la trouvent.",
  pump: "Pompe",
  pumpHint: "Son numéro ou son nom, s’il y en a plusieurs.",
  where: "Où est-elle ?",
  here: "J’y suis",
  typed: "à saisir",
  later: "plus tard",
  howFault: "Dites où elle est.",
  hereFault: "Laissez le téléphone vous localiser, saisissez la position, ou remettez-la à plus tard.",
  look: "Me localiser",
  lookAgain: "Me localiser à nouveau",
  looking: "Localisation…",
  found: (position) => `Trouvée : ${position}`,
  trouble: {
    refused: "Le téléphone ne donne pas sa position à cette page. Autorisez-la dans le navigateur, ou saisissez-la.",
    unavailable: "Le téléphone n’a pas de position en ce moment. Saisissez-la, ou remettez-la à plus tard.",
    timeout: "Le téléphone n’a pas trouvé de position à temps. Réessayez à ciel ouvert, ou remettez-la à plus tard.",
  },
  known: "Est-ce l’une de celles-ci ?",
  knownHint:
    "Elles sont à moins de 150 m, ou à moins de 1 km avec un nom semblable. Inutile de saisir deux fois une station connue.",
  position: "Latitude, longitude",
  positionHint: "En degrés décimaux, comme 45.30120, 2.51440.",
  typedFault:
    "Ce ne sont pas deux nombres en degrés. Écrivez la latitude, une virgule, la longitude : 45.30120, 2.51440.",
  laterHint: "Les essais restent sur ce téléphone et partent dès que la station a une position.",
  notes: "Notes",
  notesHint: "Ce qui aide à la trouver, ou à connaître la pompe. Les autres peuvent le lire.",
  save: "Enregistrer cette station",
  back: "Retour",
};
