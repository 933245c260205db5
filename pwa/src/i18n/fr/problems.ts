import type { Labels } from "..";

/** What each problem means, by its code: those of checking/wording.json, in French. */
export const problems: Labels["problems"] = {
  json_broken: "Ce n’est pas du JSON ({value}) ; renvoyez les données en JSON.",
  json_deep: "Ce JSON est trop imbriqué ; les données ont trois niveaux au plus.",
  not_utf8: "Ce texte n’est pas en UTF-8 ({value}) ; envoyez-le en UTF-8.",
  not_a_number: "{field} vaut {value}, qui n’est pas un nombre ; donnez-en un, comme 83.5.",
  not_a_time: "{field} vaut « {value} », qui n’est pas une date ; écrivez 2026-01-31T12:00:00Z.",
  option_count: "{field} est donné {value} fois ; donnez-le {limit} fois, une par mesure.",
  column_missing: "La colonne {field} manque ; le fichier demande {limit}.",
  file_unreadable: "{field} ne peut pas être lu ({value}) ; donnez le nom d’un fichier CSV.",
  records_unreadable: "{field} ne peut pas être lu ({value}) ; donnez un fichier JSON Lines ou CSV.",
  column_unknown: "La colonne « {field} » ne désigne aucun champ ; écrivez son chemin, comme {limit}.",
  secret_unreadable:
    "{field} ne contient pas de clé secrète ({value}) ; il faut 64 chiffres hexadécimaux en minuscules.",
  file_unwritable: "{field} ne peut pas être écrit ({value}) ; donnez un nom de fichier dans un dossier qui existe.",
  region_unknown: "Il n’y a pas de région {value} ; donnez son code ISO 3166-2, comme FR-63.",
  uncertainty_missing:
    "L’incertitude dans {field} est « {value} » ; donnez-en une, {limit} : sans elle, une lecture ne dit rien.",
  kind_unknown: "Le type « {value} » n’est pas connu ; les types sont {limit}.",
  field_unknown: "Il n’y a pas de champ {field} ici ; enlevez-le. Champs connus : {limit}.",
  field_missing: "{field} : valeur manquante ; ajoutez-la.",
  type: "{field} vaut {value}, qui est du mauvais type ; donnez {limit}.",
  range: "{field} vaut {value}, hors limites ; donnez {limit}.",
  length: "{field} n’a pas la bonne longueur ; il faut {limit}.",
  pattern: "{field} vaut « {value} », qui n’a pas la forme {limit}.",
  choice: "{field} vaut « {value} » ; choisissez parmi {limit}.",
  time_offset: "{field} vaut {value}, sans fuseau ; ajoutez Z ou un décalage comme +02:00.",
  time_unreadable: "{field} vaut « {value} », qui n’est pas une date ; écrivez 2026-01-31T12:00:00Z.",
  form: "{field} vaut {value}, qui est illisible : {limit}.",
  text_control: "{field} contient le caractère de contrôle {value} ; enlevez-le.",
  text_blank: "{field} : c’est vide ; donnez un nom au lieu.",
  time_early: "{field} vaut {value}, avant tout essai ; réglez l’horloge du téléphone et corrigez l’heure.",
  time_ahead:
    "{field} vaut {value}, plus de deux jours en avance sur l’horloge du serveur ; réglez l’horloge du téléphone et corrigez l’heure.",
  sampled_after: "Le carburant a été prélevé à {value}, après l’essai à {limit} ; corrigez l’une des deux heures.",
  fill_range: "{field} vaut {value} ; donnez le volume versé en mL, {limit}.",
  line_kind: "Avec cette échelle, l’éprouvette se lit comme {limit}, et seulement ainsi ; donnez {field}.",
  line_below_water:
    "La limite à {value} mL est sous l’eau versée ; elle doit être à {limit} mL : relisez-la ou corrigez le remplissage.",
  line_above_fill:
    "La limite à {value} mL est au-dessus de tout ce qui a été versé ; elle doit être à {limit} mL : relisez-la ou corrigez le remplissage.",
  percent_range: "La limite à {value} % est hors de l’échelle ; donnez une lecture de {limit}.",
  top_range: "Le haut du carburant ne peut pas être à {value} mL ; il est dans {limit} mL.",
  temperature_range:
    "{value} degrés Celsius, c’est hors des tables de masse volumique, {limit} ; testez à une autre température.",
  fuel_water_range: "{value} % d’eau dans le carburant, c’est hors limites ; donnez {limit} %.",
  graduation_range: "La plus petite graduation est {value} ; donnez-la dans {limit}.",
  tolerance_range: "L’erreur maximale tolérée des repères est {value} mL ; donnez-la dans {limit} mL, ou aucune.",
  runs_count: "Un essai de {value} mesures ne peut pas être évalué ; faites-en {limit}.",
  brine_scale: "Une éprouvette à échelle « {value} » ne se lit pas avec de la saumure ; prenez {limit}, ou de l’eau.",
  set_aside_most:
    "Mesures écartées : {value}. {limit} au plus peuvent l’être, car la plupart doivent compter ; reprenez-en.",
  content_impossible:
    "Les mesures donnent {value} %, ce qui est impossible ({limit} seulement) ; vérifiez les remplissages, la limite et le type d’échelle.",
  fill_share:
    "{value} mL de carburant, c’est hors de la part du remplissage pour laquelle la méthode est connue ; dans cette éprouvette, versez {limit} mL de carburant, avec de l’eau jusqu’au même repère du haut.",
  brine_strong:
    "Les mesures donnent {value} %, mais la saumure ne vaut que jusqu’à environ {limit} % ; agitez plutôt avec de l’eau pure.",
  no_upper_layer:
    "Les mesures donnent {value} %, et au-dessus d’environ {limit} % il reste trop peu de carburant au-dessus de la limite pour s’y fier ; l’application ne donne donc aucun nombre.",
  liquids_differ:
    "Certaines mesures sont faites avec de l’eau et d’autres avec de la saumure ; faites un essai de chaque sorte.",
  exchange_table: "La table des échanges entre les deux couches n’est pas utilisable ({field}) ; donnez {limit}.",
  exchange_unreadable:
    "{field} ne peut pas être lu ({value}) ; donnez un fichier JSON avec une table des échanges entre les couches.",
  column_twice: "La colonne {field} est là deux fois ; gardez-en une seule.",
  csv_separators:
    "Les colonnes de {field} peuvent être séparées par {value} ; gardez un seul de ces signes, sans les autres dans l’en-tête.",
  csv_decimals:
    "Les nombres de {field} ont un point (ligne {value}) et une virgule (ligne {limit}) ; écrivez-les tous de la même façon.",
  csv_thousands:
    "{value} dans {field} peut être un millier ou un nombre décimal ; écrivez les décimales avec un point, ou séparez les colonnes par des points-virgules.",
  csv_cells:
    "{field} a {value} cellules et l’en-tête {limit} ; mettez entre guillemets une cellule qui contient le séparateur.",
  calibration_range: "{field} : {value} mL est impossible ({limit} mL) ; repesez ce repère.",
  calibration_twice: "{field} : un repère est donné deux fois ; gardez-en un seul.",
  offset_range:
    "Un décalage de {value} points est plus qu’une éprouvette ne peut avoir ({limit}) ; vérifiez le type d’échelle et l’échantillon connu.",
  line_half_width_range: "{field} : {value} mL ; donnez {limit} mL, ou relisez la limite.",
  mark_volumes:
    "Les repères de la photo valent {value} mL ; leurs volumes doivent monter du bas jusqu’au repère de carburant.",
  marks_close: "Deux repères de la photo sont à {value} pixels ; prenez une photo où ils sont à {limit} pixels.",
  marks_order:
    "Le repère d’eau est hors de l’espace entre le bas et le repère de carburant ({value} sur {limit} pixels) ; remettez les repères en ordre.",
  mark_off_axis:
    "Un repère de la photo est à côté de l’axe de l’éprouvette ({value} de sa longueur, au plus {limit}) ; posez-le sur l’axe.",
  marks_perspective:
    "D’après ces repères, un millilitre est {value} fois plus grand à un bout qu’à l’autre ; reposez les repères.",
  line_off_marks:
    "La limite est hors de l’espace entre le bas et le repère de carburant ({value} sur {limit} pixels) ; replacez-la.",
  marks_photo:
    "{field} : ces repères sont sur une photo que l’essai ne nomme pas ; envoyez la photo avec l’essai, ou enlevez les repères.",
  marks_differ:
    "Les repères de la photo donnent {value} mL, la mesure dit {limit} mL ; la mesure compte. Regardez de nouveau la photo.",
  part_unreadable: "{field} « {value} » est illisible ; écrivez {limit}.",
  part_range: "{field} {value} est hors limites ; donnez {limit}.",
  option_needed: "{field} demande {limit} ; ajoutez-le.",
  sensor_contaminated:
    "À {value} Hz, le capteur signale un carburant pollué ou une panne, pas une teneur ; sa plage est {limit} Hz.",
  sensor_out_of_range: "{value} Hz est hors de la plage du capteur, {limit} Hz ; vérifiez le branchement.",
  content_differs:
    "Le téléphone a calculé {value} %, le serveur {limit} % avec les mêmes mesures ; le nombre du serveur compte. Mettez l’application à jour.",
  twin_runs:
    "Les mêmes mesures à la même station dans la même demi-heure existent déjà ; cet essai reste enregistré, mais seul le premier compte. Retirez l’un des deux.",
  twin_photo:
    "Cette image appartient déjà à un autre essai ; celui-ci reste enregistré mais ne compte pas. Renvoyez-le avec sa propre image.",
  twin_picture:
    "Une image de cet essai ressemble à celle d’un autre ; il reste enregistré mais ne compte pas. Renvoyez-le avec sa propre image.",
  out_of_line:
    "Cette lecture est loin des dernières de cette station et de sa région ; elle reste enregistrée, et comptera quand quelqu’un d’autre lira la même chose ici. Vérifiez l’échelle et les mesures.",
  no_region: "{value} n’est dans aucune région connue ; vérifiez les coordonnées.",
  region_uncertain:
    "Le lieu est près d’une limite de région : compté dans {value}, il est peut-être dans {limit}. Indiquez la région si vous la connaissez.",
  subdivision_elsewhere:
    "Le lieu n’est pas dans {value} ; le serveur le compte dans {limit}. Vérifiez les coordonnées et la région.",
  similar_source: "Une station toute proche est peut-être la même ; si oui, testez sous ce nom-là et retirez celle-ci.",
  withheld:
    "La modération a retiré cette donnée des listes et des calculs ; ses révisions suivantes en restent exclues aussi.",
  all_withheld:
    "La modération a retiré des listes et des calculs tout ce que ce téléphone a envoyé ; vos envois restent enregistrés, et compteront si elle revient sur cette décision.",
  change_waits:
    "D’autres ont fait des essais ici : votre modification attend l’accord de la modération. D’ici là, les autres voient la station comme avant.",
  change_refused: "La modération n’a pas accepté votre modification de cette station, qui reste comme avant.",
  released_twin: "La modération fait compter cet essai, bien qu’il ressemble à un autre.",
  record_unknown: "Il n’y a rien sous {value} ici ; donnez l’identifiant d’un essai ou d’une station.",
  contributor_unknown:
    "{value} n’a jamais rien envoyé ici ; donnez les 16 chiffres d’un contributeur, comme dans la liste de splitline review.",
  not_set_aside:
    "{value} n’est pas écarté en bloc, il n’y a rien à annuler ; libérez chaque donnée par son identifiant.",
  decided_otherwise:
    "Quelqu’un d’autre vient de décider autrement au sujet de {value} ; regardez avec splitline review contributor {value}.",
  not_held: "{value} est {limit}, il n’y a rien à libérer.",
  not_in_use: "{value} est {limit}, il n’y a rien à écarter.",
  database_missing: "Il n’y a pas de base de données à {value} ; indiquez le dossier de données ou la base du serveur.",
  merge_itself: "{field} ne peut pas être réunie à elle-même ; donnez deux stations.",
  merge_not_counted:
    "{value} ne compte pas pour elle-même ici ({limit}) ; donnez l’identifiant d’une station qui compte.",
  merge_stands_for_others: "D’autres stations ont été réunies à {value} ; défaites d’abord ces réunions.",
  not_merged: "{value} n’est réunie à aucune autre station.",
  not_yours: "Cette donnée vient de quelqu’un d’autre ; seul son auteur peut la modifier.",
  kind_differs: "Cet identifiant est celui d’une donnée d’un autre type ; prenez-en un nouveau.",
  conflict:
    "Un autre de vos téléphones a envoyé une version avant, et c’est elle qui compte. Pour envoyer celle-ci comme la plus récente, changez sa note.",
  retracted: "Cette donnée a été retirée ; saisissez-la comme une nouvelle.",
  source_unknown:
    "Le serveur ne connaît pas encore la station de cet essai ; synchronisez encore une fois, puis réessayez.",
  source_retracted: "La station de cet essai a été retirée ; choisissez ou ajoutez une autre station.",
  source_in_use: "D’autres ont testé à cette station, elle reste donc ; corrigez plutôt son nom ou son lieu.",
  no_secret:
    "L’expéditeur n’est pas indiqué ; envoyez l’en-tête Authorization: Bearer avec la clé secrète de l’appareil.",
  secret_malformed: "La clé secrète n’a pas la bonne forme ; il faut 64 chiffres hexadécimaux en minuscules.",
  secret_taken: "Un autre téléphone a déjà le numéro de ce contributeur ; créez une nouvelle clé secrète.",
  cursor_expired: "Ce curseur n’est pas de cette base ; recommencez sans curseur.",
  body_too_large: "La demande dépasse {limit} octets ; envoyez-la en plusieurs parties.",
  body_cut: "La demande s’est arrêtée avant la fin ; renvoyez-la.",
  body_slow: "La demande n’est pas arrivée en {limit} secondes ; renvoyez-la en plusieurs parties.",
  content_encoding: "Un contenu compressé en « {value} » n’est pas accepté ici ; envoyez-le tel quel.",
  too_many:
    "Trop d’envois avec la même valeur ({field}) en peu de temps ; réessayez dans {limit} secondes, rien n’est perdu.",
  media_type: "Le type de contenu « {value} » n’est pas accepté ici ; envoyez {limit}.",
  digest_differs: "Ce qui est arrivé a l’empreinte {value}, pas {limit} ; renvoyez l’image.",
  photo_unreadable: "Cette image est illisible ; envoyez {limit}.",
  photo_scans:
    "L’image se construit en plus de {limit} passages ; enregistrez-la à nouveau sous une forme ordinaire et envoyez celle-ci.",
  photo_pixels: "L’image a plus de {limit} pixels ; envoyez-en une plus petite.",
  not_found: "Il n’y a rien ici sous ce nom.",
  method_not_allowed: "{value} n’est pas possible ici.",
  bad_request: "La demande n’est pas compréhensible ; voyez /api/schema.",
  host_count: "Une demande nomme le serveur dans une seule ligne Host ; celle-ci en a {value}.",
  header_large: "Les en-têtes de cette demande dépassent {limit} octets ; envoyez-en moins, ou de plus courts.",
  header_slow: "Les en-têtes de cette demande ne sont pas arrivés en {limit} secondes ; renvoyez-la.",
  unavailable: "Le serveur est occupé ou son stockage ne répond pas ; réessayez plus tard.",
  internal:
    "Le serveur a eu une panne, et ce n’est pas votre faute ; réessayez plus tard : renvoyer est toujours sans conséquence.",
  setting_range: "{field} vaut {value} ; donnez un nombre entier dans {limit}.",
  setting_file: "{field} vaut {value}, et il n’y a pas de tel fichier ; donnez le chemin d’un fichier PEM.",
  setting_folder: "{field} doit être le dossier {value}, mais {limit} est un fichier ; donnez un autre dossier.",
  setting_database: "{field} vaut {value}, qui est un dossier ; donnez un fichier dans ce dossier.",
  setting_tiles: "{field} vaut {value} ; donnez l’adresse https d’images de carte, comme {limit}.",
  setting_tiles_pair:
    "{field} manque ; une carte demande à la fois son adresse (tiles) et ses auteurs (tiles_attribution).",
  setting_workers:
    "{field} vaut {value}, mais un seul processus sert SQLite ; laissez 1, ou donnez une base PostgreSQL.",
  setting_pair: "{field} manque ; https demande à la fois le certificat (tls_cert) et sa clé (tls_key).",
  setting_address: "{field} vaut {value} ; donnez une adresse et un port, comme {limit}.",
  setting_choice: "{field} vaut {value} ; donnez {limit}.",
  database_url: "{field} ne peut pas être {value} ; donnez {limit}.",
  clock_off:
    "L’horloge du téléphone était décalée de plus d’un jour à l’envoi ; les heures restent telles quelles : réglez l’horloge, et corrigez-les par une nouvelle révision.",
  backup_unreadable: "{field} ne peut pas être lu ({value}) ; donnez un fichier fait par splitline backup.",
  backup_foreign:
    "{field} n’est pas une sauvegarde de Splitline, ou sa fin manque ; donnez un fichier entier fait par splitline backup.",
  backup_damaged: "{field} est abîmé ({value}) ; rien n’a été restauré : prenez une autre sauvegarde.",
  backup_newer:
    "{field} vient de Splitline {value}, plus récent que celui-ci ; mettez Splitline à jour et restaurez à nouveau.",
  backup_exists: "{field} existe déjà et n’est pas touché ; donnez un nouveau nom de fichier.",
  backup_unwritable:
    "{field} ne peut pas être écrit ({value}) ; donnez un fichier dans un dossier qui existe et où il reste de la place.",
  database_empty:
    "Il n’y a rien de Splitline dans la base à {value} ; indiquez le dossier de données ou la base du serveur.",
  database_not_empty:
    "La base à {value} contient déjà des tables ; restaurez dans un endroit vide : indiquez un autre dossier ou une autre base.",
  photos_not_empty:
    "Il y a déjà des images à {value} ; restaurez dans un endroit vide : indiquez un autre dossier ou un autre lieu pour les photos.",
  storage_full:
    "Le disque du serveur est plein, et rien de cet envoi n’a été enregistré ; conservez-le et renvoyez-le plus tard.",
};
