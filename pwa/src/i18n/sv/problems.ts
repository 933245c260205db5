import type { Labels } from "..";

/** What each problem means, by its code: those of checking/wording.json, in Swedish. */
export const problems: Labels["problems"] = {
  json_broken: "Det här är inte JSON ({value}); skicka posterna igen som JSON.",
  json_deep: "JSON-koden är för djupt nästlad; poster har högst tre nivåer.",
  not_utf8: "Texten är inte UTF-8 ({value}); skicka den som UTF-8.",
  not_a_number: "{field} är {value}, som inte är ett tal; ange ett, som 83.5.",
  not_a_time: "{field} är ”{value}”, som inte är någon tid; skriv 2026-01-31T12:00:00Z.",
  option_count: "{field} angavs {value} gånger; ange det {limit} gånger, en gång per mätning.",
  column_missing: "Kolumnen {field} saknas; filen behöver {limit}.",
  file_unreadable: "{field} går inte att läsa ({value}); ange namnet på en CSV-fil.",
  records_unreadable: "{field} går inte att läsa ({value}); ange en fil med poster som JSON Lines eller CSV.",
  column_unknown: "Kolumnen ”{field}” är inget fält; skriv dess sökväg, som {limit}.",
  secret_unreadable:
    "{field} innehåller ingen hemlig nyckel ({value}); den har 64 hexadecimala siffror med små bokstäver.",
  file_unwritable: "{field} går inte att skriva ({value}); ange ett filnamn i en mapp som finns.",
  region_unknown: "Det finns ingen region {value}; ange dess ISO 3166-2-kod, som FR-63.",
  uncertainty_missing:
    "Mätosäkerheten i {field} är ”{value}”; ange en, {limit}: utan den säger en avläsning ingenting.",
  kind_unknown: "Posttypen ”{value}” är okänd; typerna är {limit}.",
  field_unknown: "Det finns inget fält {field} här; ta bort det. Kända fält: {limit}.",
  field_missing: "{field} saknas; lägg till det.",
  type: "{field} är {value}, som är av fel typ; ange {limit}.",
  range: "{field} är {value}, utanför gränserna; ange {limit}.",
  length: "{field} har fel längd; ange längden {limit}.",
  pattern: "{field} är ”{value}”, som inte har formen {limit}.",
  choice: "{field} är ”{value}”; välj bland {limit}.",
  time_offset: "{field} är {value}, en tid utan tidszon; lägg till Z eller en förskjutning som +02:00.",
  time_unreadable: "{field} är ”{value}”, som inte är någon tid; skriv 2026-01-31T12:00:00Z.",
  form: "{field} är {value}, som inte går att läsa: {limit}.",
  text_control: "{field} innehåller styrtecknet {value}; ta bort det.",
  text_blank: "{field} är tomt; ge platsen ett namn.",
  time_early: "{field} är {value}, innan något hade testats; ställ telefonens klocka och rätta tiden.",
  time_ahead: "{field} är {value}, mer än två dagar före serverns klocka; ställ telefonens klocka och rätta tiden.",
  clock_off:
    "Telefonens klocka gick mer än ett dygn fel när det här skickades; tiderna är sparade som de är: ställ klockan och rätta dem i en ny version.",
  sampled_after: "Provet togs {value}, efter testet {limit}; rätta en av de två tiderna.",
  fill_range: "{field} är {value}; ange volymen du hällde i, i mL, {limit}.",
  line_kind: "Ett mätglas med den här skalan läses av som {limit}, och bara så; ange {field}.",
  line_below_water:
    "Linjen vid {value} mL är under vattnet du hällde i; den måste vara {limit} mL: läs av igen eller rätta påfyllningen.",
  line_above_fill:
    "Linjen vid {value} mL är över allt du hällde i; den måste vara {limit} mL: läs av igen eller rätta påfyllningen.",
  percent_range: "Linjen vid {value} % är utanför skalan; ange en avläsning inom {limit}.",
  top_range: "Bränslets överkant kan inte vara vid {value} mL; den ligger inom {limit} mL.",
  temperature_range: "{value} grader Celsius är utanför densitetstabellerna, {limit}; testa vid en annan temperatur.",
  fuel_water_range: "{value} % vatten i bränslet är utanför gränserna; ange {limit} %.",
  graduation_range: "Minsta skaldelen är {value}; ange en inom {limit}.",
  tolerance_range: "Märkenas tolerans är {value} mL; ange en inom {limit} mL, eller ingen alls.",
  runs_count: "Ett test med {value} mätningar går inte att utvärdera; gör {limit}.",
  brine_scale: "Ett mätglas med skalan ”{value}” går inte att läsa av med saltlösning; använd {limit}, eller vatten.",
  fill_share:
    "{value} mL bränsle är utanför den del av fyllningen som metoden är känd för; häll {limit} mL bränsle i det här mätglaset, och vatten till samma övre märke.",
  brine_strong:
    "Mätningarna ger {value} %, men saltlösning duger bara till ungefär {limit} %; skaka med vanligt vatten i stället.",
  no_upper_layer:
    "Mätningarna ger {value} %, och över ungefär {limit} % blir det för lite bränsle kvar ovanför linjen för att lita på det; ingen siffra kan ges.",
  liquids_differ: "Några mätningar är gjorda med vatten och några med saltlösning; gör ett test av varje.",
  exchange_table: "Tabellen över utbytet mellan skikten går inte att använda ({field}); ange {limit}.",
  exchange_unreadable:
    "{field} går inte att läsa ({value}); ange en JSON-fil med en tabell över utbytet mellan skikten.",
  column_twice: "Kolumnen {field} finns två gånger; behåll den ena.",
  csv_separators:
    "Kolumnerna i {field} kan vara åtskilda med {value}; använd ett av tecknen, och inget av de andra i rubrikraden.",
  csv_decimals: "Tal i {field} har punkt (rad {value}) och komma (rad {limit}); skriv alla på samma sätt.",
  csv_thousands:
    "{value} i {field} kan vara ett tusental eller ett decimaltal; skriv decimaler med punkt, eller skilj kolumnerna med semikolon.",
  csv_cells:
    "{field} har {value} celler och rubrikraden {limit}; sätt citattecken kring en cell som innehåller skiljetecknet.",
  set_aside_most:
    "Strukna mätningar: {value}. Högst {limit} får strykas, eftersom de flesta måste räknas; räkna med några av dem igen.",
  content_impossible:
    "Mätningarna ger {value} %, vilket är omöjligt (bara {limit}); kontrollera påfyllningarna, linjen och typen av skala.",
  calibration_range: "{field}: {value} mL är omöjligt ({limit} mL); väg märket igen.",
  calibration_twice: "{field}: ett märke är angivet två gånger; behåll det ena.",
  offset_range:
    "En avvikelse på {value} procentenheter är mer än ett mätglas kan ha ({limit}); kontrollera typen av skala och det kända provet.",
  line_half_width_range: "{field} är {value} mL; ange {limit} mL, eller läs av linjen igen.",
  mark_volumes: "Märkena på fotot är {value} mL; volymerna måste öka från botten till bränslemärket.",
  marks_close: "Två märken på fotot ligger {value} pixlar ifrån varandra; ta ett foto där avståndet är {limit} pixlar.",
  marks_order:
    "Vattenmärket ligger utanför sträckan från botten till bränslemärket ({value} av {limit} pixlar); sätt märkena i ordning.",
  mark_off_axis:
    "Ett märke på fotot ligger bredvid mätglasets mittlinje ({value} av dess längd, högst {limit}); sätt det på mittlinjen.",
  marks_perspective:
    "Enligt märkena är en milliliter {value} gånger så stor i ena änden som i den andra; sätt märkena på nytt.",
  line_off_marks:
    "Linjen ligger utanför sträckan från botten till bränslemärket ({value} av {limit} pixlar); sätt den på nytt.",
  marks_photo:
    "{field}: märkena ligger på ett foto som inte hör till testet; skicka fotot med testet, eller ta bort märkena.",
  marks_differ:
    "Märkena på fotot ger {value} mL, mätningen säger {limit} mL; mätningen räknas. Titta på bilden en gång till.",
  part_unreadable: "{field} ”{value}” går inte att läsa; skriv {limit}.",
  part_range: "{field} {value} är utanför gränserna; ange {limit}.",
  option_needed: "{field} behöver {limit}; lägg till det.",
  sensor_contaminated:
    "Vid {value} Hz rapporterar sensorn förorenat bränsle eller ett fel, ingen halt; dess område är {limit} Hz.",
  sensor_out_of_range: "{value} Hz är utanför sensorns område, {limit} Hz; kontrollera anslutningen.",
  content_differs:
    "Telefonen räknade fram {value} %, servern {limit} % ur samma mätningar; serverns siffra räknas. Uppdatera appen.",
  twin_runs:
    "Samma mätningar på samma station inom samma halvtimme finns redan; testet är sparat, men bara det första räknas. Dra tillbaka ett av dem.",
  twin_photo:
    "Bilden hör redan till ett annat test; testet är sparat men räknas inte. Skicka det igen med sin egen bild.",
  twin_picture:
    "En bild i testet liknar en i ett annat test; testet är sparat men räknas inte. Skicka det igen med sin egen bild.",
  out_of_line:
    "Avläsningen ligger långt från de senaste på stationen och i regionen; den är sparad, och räknas när någon annan får samma resultat här. Kontrollera skalan och mätningarna.",
  no_region: "{value} ligger inte i någon känd region; kontrollera koordinaterna.",
  region_uncertain:
    "Platsen ligger nära en gräns: den räknas till {value} men kan ligga i {limit}. Välj region om du vet.",
  subdivision_elsewhere:
    "Platsen ligger inte i {value}; den räknas till {limit}. Kontrollera koordinaterna och regionen.",
  similar_source: "En station alldeles intill kan vara samma plats; är det så, testa där och dra tillbaka den här.",
  withheld: "En moderator har tagit bort posten ur listor och siffror; senare versioner räknas inte heller.",
  all_withheld:
    "En moderator har tagit bort allt från den här telefonen ur listor och siffror; det du skickar sparas ändå här, och räknas om moderatorn släpper det.",
  change_waits:
    "Andra har testat här, så din ändring väntar på en moderator; tills dess ser alla andra stationen som den var.",
  change_refused: "En moderator godtog inte din ändring av stationen, så den är som förut.",
  released_twin: "En moderator låter testet räknas, fast det liknar ett annat.",
  record_unknown: "Det finns ingen post {value} här; ange id för ett test eller en station.",
  contributor_unknown:
    "{value} har aldrig skickat något hit; ange en deltagares 16 siffror, som i listan från splitline review.",
  not_set_aside:
    "{value} är inte borttagen i sin helhet, så det finns inget att ångra; släpp enskilda poster med deras id.",
  decided_otherwise:
    "En annan moderator har nyss bestämt något annat om {value}; se splitline review contributor {value}.",
  not_held: "{value} är {limit}, det finns inget att släppa.",
  not_in_use: "{value} är {limit}, det finns inget att ta bort.",
  backup_unreadable: "{field} går inte att läsa ({value}); ange namnet på en fil som splitline backup har gjort.",
  backup_foreign:
    "{field} är ingen säkerhetskopia av Splitline, eller så saknas slutet; ange en hel fil som splitline backup har gjort.",
  backup_damaged: "{field} är skadad ({value}); inget återställdes: ta en annan säkerhetskopia.",
  backup_newer:
    "{field} gjordes av Splitline {value}, som är nyare än den här; uppdatera Splitline och återställ igen.",
  backup_exists: "{field} finns redan och lämnas orörd; ange ett nytt filnamn.",
  backup_unwritable: "{field} går inte att skriva ({value}); ange en fil i en mapp som finns och har plats.",
  database_empty: "Det finns inget från Splitline i databasen vid {value}; ange datamappen eller serverns databas.",
  database_not_empty:
    "Databasen vid {value} har redan tabeller; återställ på en tom plats: ange en annan datamapp eller databas.",
  photos_not_empty:
    "Det finns redan bilder vid {value}; återställ på en tom plats: ange en annan datamapp eller en annan plats för foton.",
  database_missing: "Det finns ingen databas vid {value}; ange datamappen eller serverns databas.",
  merge_itself: "{field} går inte att slå ihop med sig själv; ange två stationer.",
  merge_not_counted: "{value} räknas inte som egen station här ({limit}); ange id för en station som gör det.",
  merge_stands_for_others: "Andra stationer är ihopslagna med {value}; ångra det först.",
  not_merged: "{value} är inte ihopslagen med någon annan station.",
  not_yours: "Posten är gjord av någon annan; bara den som gjorde den kan ändra den.",
  kind_differs: "Id:t hör till en post av en annan typ; skapa ett nytt id.",
  conflict:
    "En annan av dina telefoner skickade en version av det här först, och den räknas. Ändra anteckningen om du vill skicka den här som den nyare.",
  retracted: "Posten är tillbakadragen; lägg in den igen som en ny.",
  source_unknown: "Servern känner inte till testets station än; synka en gång till och försök igen.",
  source_retracted: "Testets station är tillbakadragen; välj eller lägg till en annan station.",
  source_in_use: "Andra har testat på stationen, så den blir kvar; rätta i stället namnet eller platsen.",
  no_secret: "Avsändaren är inte angiven; skicka rubriken Authorization: Bearer med telefonens hemliga nyckel.",
  secret_malformed: "Den hemliga nyckeln har fel form; den har 64 hexadecimala siffror med små bokstäver.",
  secret_taken: "En annan telefon har redan den här deltagarens nummer; skapa en ny hemlig nyckel.",
  cursor_expired: "Markören hör inte till den här databasen; börja om utan markör.",
  body_too_large: "Begäran är större än {limit} byte; skicka den i mindre delar.",
  body_cut: "Begäran bröts innan den var slut; skicka den igen.",
  too_many:
    "För mycket skickades med samma värde ({field}) på kort tid; försök igen om {limit} sekunder, inget är förlorat.",
  content_encoding: "Innehåll packat som ”{value}” tas inte emot här; skicka det som det är.",
  body_slow: "Begäran kom inte fram inom {limit} sekunder; skicka den igen, i mindre delar.",
  media_type: "Innehållstypen ”{value}” tas inte emot här; skicka {limit}.",
  digest_differs: "Det som kom fram har kontrollsumman {value}, inte {limit}; skicka bilden igen.",
  photo_unreadable: "Bilden går inte att läsa; skicka {limit}.",
  photo_scans: "Bilden byggs upp i mer än {limit} steg; spara om den i en vanlig form och skicka den.",
  photo_pixels: "Bilden har mer än {limit} pixlar; skicka en mindre.",
  not_found: "Det finns inget här med det namnet.",
  method_not_allowed: "{value} är inte möjligt här.",
  bad_request: "Begäran går inte att förstå; se /api/schema.",
  host_count: "En begäran anger servern på exakt en Host-rad; den här har {value}.",
  header_large: "Begärans rubriker är större än {limit} byte; skicka färre eller kortare.",
  header_slow: "Begärans rubriker kom inte fram inom {limit} sekunder; skicka den igen.",
  unavailable: "Servern är upptagen eller så svarar inte dess lagring; försök igen senare.",
  storage_full: "Serverns disk är full, och inget av det här sparades där; behåll det och skicka det igen senare.",
  internal:
    "Något gick fel på servern, och det är inte ditt fel; försök igen senare: att skicka om gör aldrig någon skada.",
  setting_range: "{field} är {value}; ange ett heltal inom {limit}.",
  setting_file: "{field} är {value}, och någon sådan fil finns inte; ange sökvägen till en PEM-fil.",
  setting_folder: "{field} ska vara mappen {value}, men {limit} är en fil; ange en annan mapp.",
  setting_database: "{field} är {value}, som är en mapp; ange en fil i den.",
  setting_pair: "{field} saknas; https behöver både certifikatet (tls_cert) och dess nyckel (tls_key).",
  setting_tiles: "{field} är {value}; ange https-adressen till kartbilder, som {limit}.",
  setting_tiles_pair:
    "{field} saknas; en karta behöver både sin adress (tiles) och vem som har gjort den (tiles_attribution).",
  setting_workers:
    "{field} är {value}, men SQLite klarar bara en process; låt det vara 1, eller ange en PostgreSQL-databas.",
  setting_address: "{field} är {value}; ange en adress och en port, som {limit}.",
  setting_choice: "{field} är {value}; ange ett av {limit}.",
  database_url: "{field} går inte att använda som {value}; ange {limit}.",
};
