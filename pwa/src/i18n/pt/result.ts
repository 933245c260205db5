import type { Labels } from "..";

/** Labels of a result: what it is, what it means, how it was computed and what makes it uncertain. */
export const result: Labels["result"] = {
  title: "Resultado",
  live: "O resultado aparece aqui depois da primeira leitura.",
  content: "Etanol, em volume",
  coverage: (interval) => `Teor verdadeiro: ${interval}, em 95 de 100 casos.`,
  contradicted: "As medições ou as camadas se contradizem; ainda não dá para confiar neste ±.",
  span: "Não se sabe o tipo de escala; por isso o teor é uma faixa.",
  account: "Como chegamos a esse resultado e qual é a incerteza",
  how: "Como chegamos a esse resultado",
  asRead: "Sem correção",
  asReadAt: (line) => `Sem correção, linha em ${line}`,
  total: "Teor de etanol",
  step: {
    shrinkage: "Contração do etanol com a água",
    temperature: "Temperaturas da água, do combustível e da proveta",
    fuel_water: "Água já no combustível",
    method: "Fórmula para salmoura (NBR 13992)",
    calibration: "Marcas pesadas desta proveta",
    exchange: "Troca entre as camadas",
    tube_offset: "Desvio conhecido desta proveta",
  },
  exchangeBasis:
    "Troca entre as camadas: um pouco de gasolina se dissolve embaixo, um pouco de etanol fica em cima. É uma estimativa a partir de solubilidades publicadas; ninguém publicou ensaio acima de 30 %.",
  exchangeNone: "Nada é descontado pela troca entre as camadas: com salmoura ela não é conhecida.",
  alcohols:
    "Etanol e outros álcoois: a proveta não distingue um do outro. A ASTM D5798 admite no máximo 0,5 % de metanol e 2 % de álcoois superiores; até 2,5 pontos podem não ser etanol.",
  runs: "Cada medição sozinha",
  run: (number) => `Medição ${number}`,
  runAside: (number, why) => `Medição ${number}, fora da conta: ${why}`,
  byTop: (content) => `${content} pelo topo do combustível`,
  layersAgree: ", o que concorda com a linha.",
  layersDiffer: ", o que não concorda com a linha.",
  parts: "De onde vem a incerteza",
  largest: (part, points) => `A maior parte: ${part.toLowerCase()}, ${points} sozinha.`,
  act: {
    know_scale: (left) => `Saber o tipo de escala deixaria em ± ${left} %.`,
    calibrate_tube: (left) => `Pesar as marcas da proveta deixaria em ± ${left} %.`,
    measure_temperature: (left) => `Medir as temperaturas deixaria em ± ${left} %.`,
    one_more_run: (left) => `Mais uma medição deixaria em ± ${left} %.`,
    read_finer: (left) => `Ler a linha com o dobro da precisão, por exemplo numa foto, deixaria em ± ${left} %.`,
    finer_tube: (left) => `Uma proveta com metade da divisão deixaria em ± ${left} %.`,
    other_filling: (left, water, fuel) => `Com ${water} de água e ${fuel} de combustível: ± ${left} %.`,
  },
  guessed: (degrees, points) =>
    `A temperatura é estimada: ${degrees} a mais na proveta mudariam o teor em ${points} pontos.`,
  partsHint: "A parte de cada causa, em pontos a 95 %. Elas se somam pelos quadrados.",
  scope: {
    run: (letters) => `${letters} cheio: muda a cada medição; fazer mais medições ajuda`,
    tube: (letters) =>
      `${letters} hachurado: igual em toda medição com esta proveta; ajuda usar outra, ou conhecer melhor esta`,
    all: (letters) =>
      `${letters} pontilhado: igual em todo teste; ajuda medir as temperaturas e perguntar pela água no combustível; contra a troca entre as camadas, só uma tabela melhor`,
  },
  component: {
    water_fill: "Enchimento da água",
    fuel_fill: "Enchimento do combustível",
    line: "Leitura da linha",
    marks: "Marcas da proveta",
    calibration: "Pesagem das marcas",
    temperature: "Temperatura da proveta",
    water_temperature: "Temperatura da água",
    fuel_temperature: "Temperatura do combustível",
    fuel_water: "Água no combustível",
    exchange: "Troca entre as camadas",
    tube_offset: "Desvio conhecido da proveta",
    scale_kind: "Tipo de escala",
    scatter: "Dispersão das medições",
  },
  warning: {
    layers_disagree:
      "As camadas não fecham a conta: erro de enchimento, vazamento, evaporação ou camada turva. Repita a medição.",
    runs_disagree: "As duas medições diferem mais do que a leitura explica. Faça uma terceira: vale a do meio.",
    median_counts: "As medições diferem mais do que a leitura explica; por isso vale a do meio.",
    scale_unknown:
      "Não se sabe o tipo de escala; o resultado cobre os dois. Compare as alturas das divisões para descobrir.",
    check_scale_kind: "Está acima do que toda especificação admite. Confira primeiro que escala esta proveta tem.",
    would_freeze: "A esta temperatura a camada de baixo seria gelo: a temperatura está certa?",
  },
  grown: (apart, now, without) =>
    `As medições diferem em ${apart} pontos. Por isso o ± é de ${now} pontos; se concordassem, seria de uns ${without}.`,
  minimum: (probability, minimum) => `Probabilidade de atingir o seu mínimo de ${minimum}: ${probability}.`,
  verdict: {
    inside: (name) => `Dentro do que ${name} admite.`,
    below: (name) => `Abaixo do que ${name} admite.`,
    above: (name) => `Acima do que ${name} admite.`,
    cannot_tell: (name) => `Perto demais de um limite de ${name} para dizer: o limite cai dentro da incerteza.`,
  },
  points: (amount) => `± ${amount}\u00a0pontos`,
  limit: { atLeast: "no mínimo", atMost: "no máximo", above: "acima de", to: "a" },
  fault: "Nenhum teor combina com estes números. Confira as marcas, o enchimento e a linha.",
};
