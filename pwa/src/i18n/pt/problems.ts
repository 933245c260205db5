import type { Labels } from "..";

/** What each problem means, by its code: those of checking/wording.json, in Brazilian Portuguese. */
export const problems: Labels["problems"] = {
  json_broken: "Isto não é JSON ({value}); envie os dados de novo em JSON.",
  json_deep: "Este JSON tem níveis demais; os dados têm no máximo três.",
  not_utf8: "Este texto não está em UTF-8 ({value}); envie em UTF-8.",
  not_a_number: "{field} é {value}, que não é um número; informe um, como 83.5.",
  not_a_time: "{field} é “{value}”, que não é uma data; escreva 2026-01-31T12:00:00Z.",
  option_count: "{field} foi informado {value} vezes; informe {limit} vezes, uma por medição.",
  column_missing: "Falta a coluna {field}; o arquivo precisa de {limit}.",
  file_unreadable: "Não dá para ler {field} ({value}); informe o nome de um arquivo CSV.",
  records_unreadable: "Não dá para ler {field} ({value}); informe um arquivo de registros em JSON Lines ou CSV.",
  column_unknown: "A coluna “{field}” não indica nenhum campo; escreva o caminho dele, como {limit}.",
  secret_unreadable: "{field} não contém uma chave secreta ({value}); são 64 dígitos hexadecimais em minúsculas.",
  file_unwritable: "Não dá para gravar {field} ({value}); informe um nome de arquivo numa pasta que existe.",
  region_unknown: "Não existe a região {value}; informe o código ISO 3166-2 dela, como FR-63.",
  uncertainty_missing: "A incerteza em {field} é “{value}”; informe uma, {limit}: sem ela, uma leitura não diz nada.",
  kind_unknown: "Não se conhece registro do tipo “{value}”; os tipos são {limit}.",
  field_unknown: "Não existe o campo {field} aqui; tire-o. Campos conhecidos: {limit}.",
  field_missing: "Falta {field}; acrescente.",
  type: "{field} é {value}, que é do tipo errado; informe {limit}.",
  range: "{field} é {value}, fora da faixa; informe {limit}.",
  length: "{field} tem o tamanho errado; informe um de tamanho {limit}.",
  pattern: "{field} é “{value}”, que não tem a forma {limit}.",
  choice: "{field} é “{value}”; escolha entre {limit}.",
  time_offset: "{field} é {value}, uma hora sem fuso; acrescente Z ou um fuso como -03:00.",
  time_unreadable: "{field} é “{value}”, que não é uma data; escreva 2026-01-31T12:00:00Z.",
  form: "{field} é {value}, que não dá para ler: {limit}.",
  text_control: "{field} contém o caractere de controle {value}; tire-o.",
  text_blank: "{field} está em branco; dê um nome ao lugar.",
  time_early: "{field} é {value}, antes de qualquer teste; acerte o relógio do celular e corrija a hora.",
  time_ahead:
    "{field} é {value}, mais de dois dias à frente do relógio do servidor; acerte o relógio do celular e corrija a hora.",
  clock_off:
    "O relógio do celular estava mais de um dia fora quando isto foi enviado; as horas ficam como estão: acerte o relógio e corrija-as numa nova revisão.",
  sampled_after: "O combustível foi coletado em {value}, depois do teste em {limit}; corrija uma das duas horas.",
  fill_range: "{field} é {value}; informe o volume posto em mL, {limit}.",
  line_kind: "Uma proveta com esta escala se lê como {limit}, e só assim; informe {field}.",
  line_below_water:
    "A linha em {value} mL está abaixo da água posta; tem de estar em {limit} mL: leia de novo ou corrija o enchimento.",
  line_above_fill:
    "A linha em {value} mL está acima de tudo o que foi posto; tem de estar em {limit} mL: leia de novo ou corrija o enchimento.",
  percent_range: "A linha em {value} % está fora da escala; informe uma leitura de {limit}.",
  top_range: "O topo do combustível não pode estar em {value} mL; ele fica em {limit} mL.",
  temperature_range:
    "{value} graus Celsius está fora da faixa das tabelas de massa específica, {limit}; teste em outra temperatura.",
  fuel_water_range: "{value} % de água no combustível está fora da faixa; informe {limit} %.",
  graduation_range: "A menor divisão da escala é {value}; informe uma de {limit}.",
  tolerance_range: "A tolerância das marcas é {value} mL; informe uma de {limit} mL, ou nenhuma.",
  runs_count: "Não dá para avaliar um teste de {value} medições; faça {limit}.",
  brine_scale: "Uma proveta com a escala “{value}” não se lê com salmoura; use {limit}, ou água.",
  fill_share:
    "{value} mL de combustível está fora da parte do enchimento em que o método é conhecido; nesta proveta ponha {limit} mL de combustível, com água até a mesma marca de cima.",
  brine_strong: "As medições dão {value} %, mas a salmoura só vale até cerca de {limit} %; agite com água pura.",
  no_upper_layer:
    "As medições dão {value} %, e acima de cerca de {limit} % sobra combustível de menos acima da linha para confiar nela; não dá para informar um número.",
  liquids_differ: "Algumas medições são com água e outras com salmoura; faça um teste de cada.",
  exchange_table: "Não dá para usar a tabela da troca entre as camadas ({field}); informe {limit}.",
  exchange_unreadable:
    "Não dá para ler {field} ({value}); informe um arquivo JSON com uma tabela da troca entre as camadas.",
  column_twice: "A coluna {field} aparece duas vezes; deixe uma só.",
  csv_separators:
    "As colunas de {field} podem estar separadas por {value}; use um só destes sinais, e nenhum dos outros no cabeçalho.",
  csv_decimals:
    "Os números em {field} têm ponto (linha {value}) e vírgula (linha {limit}); escreva todos do mesmo jeito.",
  csv_thousands:
    "{value} em {field} pode ser milhar ou número decimal; escreva os decimais com ponto, ou separe as colunas com ponto e vírgula.",
  csv_cells: "{field} tem {value} células e o cabeçalho {limit}; ponha entre aspas a célula que contém o separador.",
  set_aside_most:
    "Medições de fora: {value}. No máximo {limit} podem ficar, pois a maioria tem de contar; volte a contar algumas.",
  content_impossible:
    "As medições dão {value} %, o que não pode ser (só {limit}); confira os enchimentos, a linha e o tipo de escala.",
  calibration_range: "{field}: {value} mL não pode ser ({limit} mL); pese esta marca de novo.",
  calibration_twice: "{field}: uma marca aparece duas vezes; deixe uma só.",
  offset_range:
    "Um desvio de {value} pontos é mais do que uma proveta pode ter ({limit}); confira o tipo de escala e a amostra conhecida.",
  line_half_width_range: "{field} é {value} mL; informe {limit} mL, ou leia a linha de novo.",
  mark_volumes: "As marcas na foto valem {value} mL; os volumes têm de crescer da marca de baixo até a do combustível.",
  marks_close: "Duas marcas na foto estão a {value} pixels uma da outra; tire uma foto em que fiquem a {limit} pixels.",
  marks_order:
    "A marca da água está fora do trecho entre a de baixo e a do combustível ({value} de {limit} pixels); ponha as marcas em ordem.",
  mark_off_axis:
    "Uma marca na foto está ao lado do eixo da proveta ({value} do comprimento dele, no máximo {limit}); ponha-a no eixo.",
  marks_perspective:
    "Por estas marcas, um mililitro é {value} vezes maior numa ponta que na outra; ponha as marcas de novo.",
  line_off_marks:
    "A linha está fora do trecho entre a marca de baixo e a do combustível ({value} de {limit} pixels); ponha-a de novo.",
  marks_photo:
    "{field}: estas marcas estão numa foto que o teste não cita; envie a foto com o teste, ou tire as marcas.",
  marks_differ: "As marcas na foto dão {value} mL, a medição diz {limit} mL; vale a medição. Olhe a foto mais uma vez.",
  part_unreadable: "Não dá para ler {field} “{value}”; escreva {limit}.",
  part_range: "{field} {value} está fora da faixa; informe {limit}.",
  option_needed: "{field} precisa de {limit}; acrescente.",
  sensor_contaminated:
    "A {value} Hz o sensor indica combustível contaminado ou defeito, não um teor; a faixa dele é {limit} Hz.",
  sensor_out_of_range: "{value} Hz está fora da faixa do sensor, {limit} Hz; confira a ligação.",
  content_differs:
    "O celular calculou {value} %, o servidor {limit} % com as mesmas medições; vale o número do servidor. Atualize o app.",
  twin_runs:
    "As mesmas medições, no mesmo posto e na mesma meia hora, já existiam; este teste fica, mas só o primeiro conta. Retire um dos dois.",
  twin_photo: "Esta foto já é de outro teste; este teste fica, mas não conta. Envie de novo com a foto dele.",
  twin_picture:
    "Uma foto deste teste parece a de outro; este teste fica, mas não conta. Envie de novo com a foto dele.",
  out_of_line:
    "Esta leitura está longe das últimas deste posto e da região; ela fica, e conta quando outra pessoa ler o mesmo aqui. Confira a escala e as medições.",
  no_region: "{value} não fica em nenhuma região conhecida; confira as coordenadas.",
  region_uncertain:
    "O lugar fica perto de uma divisa: contado como {value}, pode ser {limit}. Escolha a região, se você souber.",
  subdivision_elsewhere: "O lugar não fica em {value}; contou como {limit}. Confira as coordenadas e a região.",
  similar_source: "Um posto bem perto pode ser o mesmo; se for, teste naquele e retire este.",
  withheld:
    "A moderação tirou este registro das listas e dos cálculos; as próximas revisões dele também ficam de fora.",
  all_withheld:
    "A moderação tirou das listas e dos cálculos tudo o que este celular enviou; o que você envia continua salvo aqui e conta se ela voltar atrás.",
  change_waits:
    "Outros testaram aqui; por isso a sua mudança espera a confirmação da moderação. Até lá, os outros veem o posto como era.",
  change_refused: "A moderação não aceitou a sua mudança neste posto; ele fica como era.",
  released_twin: "A moderação deixa este teste contar, embora pareça com outro.",
  record_unknown: "Não há registro {value} aqui; informe a identificação de um teste ou de um posto.",
  contributor_unknown:
    "{value} nunca enviou nada aqui; informe os 16 dígitos de um participante, como na lista de splitline review.",
  not_set_aside:
    "{value} não está de fora por inteiro, não há o que desfazer; libere cada registro pela identificação.",
  decided_otherwise:
    "Outra pessoa da moderação decidiu diferente sobre {value}; veja com splitline review contributor {value}.",
  not_held: "{value} está {limit}, não há o que liberar.",
  not_in_use: "{value} está {limit}, não há o que tirar.",
  backup_unreadable: "Não dá para ler {field} ({value}); informe um arquivo feito por splitline backup.",
  backup_foreign:
    "{field} não é um backup do Splitline, ou falta o fim; informe um arquivo inteiro feito por splitline backup.",
  backup_damaged: "{field} está danificado ({value}); nada foi restaurado: use outro backup.",
  backup_newer:
    "{field} foi feito pelo Splitline {value}, mais novo que este; atualize o Splitline e restaure de novo.",
  backup_exists: "{field} já existe e não foi tocado; informe um nome de arquivo novo.",
  backup_unwritable: "Não dá para gravar {field} ({value}); informe um arquivo numa pasta que existe e tem espaço.",
  database_empty:
    "Não há nada do Splitline no banco de dados em {value}; informe a pasta de dados ou o banco do servidor.",
  database_not_empty:
    "O banco de dados em {value} já tem tabelas; restaure num lugar vazio: informe outra pasta de dados ou outro banco.",
  photos_not_empty:
    "Já há fotos em {value}; restaure num lugar vazio: informe outra pasta de dados ou outro lugar para as fotos.",
  database_missing: "Não há banco de dados em {value}; informe a pasta de dados ou o banco do servidor.",
  merge_itself: "Não dá para juntar {field} consigo mesmo; informe dois postos.",
  merge_not_counted: "{value} não conta por si aqui ({limit}); informe a identificação de um posto que conta.",
  merge_stands_for_others: "Outros postos foram juntados a {value}; desfaça antes essas junções.",
  not_merged: "{value} não está junto com nenhum outro posto.",
  not_yours: "Este registro é de outra pessoa; só quem o fez pode mudá-lo.",
  kind_differs: "Esta identificação é de um registro de outro tipo; crie uma nova.",
  conflict:
    "Outro celular seu enviou antes uma versão disto, e vale aquela. Para enviar esta como a mais nova, mude a nota.",
  retracted: "Este registro foi retirado; crie outro no lugar.",
  source_unknown: "O servidor ainda não conhece o posto deste teste; sincronize mais uma vez e tente de novo.",
  source_retracted: "O posto deste teste foi retirado; escolha ou adicione outro posto.",
  source_in_use: "Outras pessoas testaram neste posto; por isso ele fica. Corrija o nome ou o lugar.",
  no_secret: "Não se diz quem envia; mande o cabeçalho Authorization: Bearer com a chave secreta do celular.",
  secret_malformed: "A chave secreta tem a forma errada; são 64 dígitos hexadecimais em minúsculas.",
  secret_taken: "Outro celular já tem o número deste participante; crie uma chave secreta nova.",
  cursor_expired: "Este cursor não é deste banco de dados; comece de novo sem cursor.",
  body_too_large: "O pedido passa de {limit} bytes; envie em partes menores.",
  body_cut: "O pedido parou antes do fim; envie de novo.",
  body_slow: "O pedido não chegou em {limit} segundos; envie de novo, em partes menores.",
  content_encoding: "Conteúdo comprimido como “{value}” não é aceito aqui; envie sem comprimir.",
  too_many:
    "Envios demais em pouco tempo com o mesmo dado ({field}); tente de novo em {limit} segundos, nada se perdeu.",
  media_type: "O tipo de conteúdo “{value}” não é aceito aqui; envie {limit}.",
  digest_differs: "O que chegou tem o resumo {value}, não {limit}; envie a foto de novo.",
  photo_unreadable: "Não dá para ler esta imagem; envie {limit}.",
  photo_scans: "A imagem é montada em mais de {limit} passadas; salve de novo num formato comum e envie essa.",
  photo_pixels: "A imagem tem mais de {limit} pixels; envie uma menor.",
  not_found: "Não há nada aqui com este nome.",
  method_not_allowed: "{value} não é possível aqui.",
  bad_request: "Não dá para entender o pedido; veja /api/schema.",
  host_count: "Um pedido cita o servidor em uma só linha Host; este tem {value}.",
  header_large: "Os cabeçalhos deste pedido passam de {limit} bytes; mande menos, ou mais curtos.",
  header_slow: "Os cabeçalhos deste pedido não chegaram em {limit} segundos; envie de novo.",
  unavailable: "O servidor está ocupado ou o armazenamento dele não responde; tente mais tarde.",
  storage_full: "O disco do servidor está cheio e nada disto foi gravado; guarde e envie mais tarde.",
  internal: "Algo deu errado no servidor, e a culpa não é sua; tente mais tarde: enviar de novo nunca atrapalha.",
  setting_range: "{field} é {value}; informe um número inteiro de {limit}.",
  setting_file: "{field} é {value}, e esse arquivo não existe; informe o caminho de um arquivo PEM.",
  setting_folder: "{field} deveria ser a pasta {value}, mas {limit} é um arquivo; informe outra pasta.",
  setting_database: "{field} é {value}, que é uma pasta; informe um arquivo dentro dela.",
  setting_pair: "Falta {field}; https precisa do certificado (tls_cert) e da chave dele (tls_key).",
  setting_tiles: "{field} é {value}; informe o endereço https das imagens do mapa, como {limit}.",
  setting_tiles_pair: "Falta {field}; um mapa precisa do endereço (tiles) e de quem o fez (tiles_attribution).",
  setting_workers: "{field} é {value}, mas um só processo atende o SQLite; deixe 1, ou informe um banco postgresql://.",
  setting_address: "{field} é {value}; informe um endereço e uma porta, como {limit}.",
  setting_choice: "{field} é {value}; informe {limit}.",
  database_url: "Não dá para usar {value} em {field}; informe {limit}.",
};
