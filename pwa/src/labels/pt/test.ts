import type { Labels } from "..";
import { result } from "./result";

/** The words of the Test place: the run sheet, from the source to the kept test. */
export const test: Labels["test"] = {
  title: "Teste",
  lead: "Uma ficha só, de cima para baixo. Cada dado fica salvo na hora.",
  startedAt: (moment) => `Ficha iniciada em ${moment}`,
  clear: "Descartar este teste",
  clearBack: "Continuar o teste",
  busyAsk: "Há um teste em andamento",
  busyWhat: "Ele é de outra amostra. Começar um novo aqui e perder aquele, ou continuar com ele?",
  busyNew: "Começar um teste novo",
  saveFault: "Não deu para salvar este dado no celular. Libere espaço e altere o dado mais uma vez.",
  loading: "Abrindo a sua ficha…",
  change: "Alterar",
  goOn: "Avançar",
  ready: "Pronto",
  readyAct: "Fazer agora",
  stage: (number, title) => `${number}. ${title}`,

  source: {
    title: "Posto",
    ask: "De onde vem o combustível?",
    find: "Nome ou bomba",
    near: "Mais próximos primeiro",
    recent: "Usar minha localização para ver os mais próximos",
    locate: "Usar minha localização",
    locating: "Procurando a sua localização…",
    none: "Nenhum posto conhecido tem isto no nome.",
    noneAtAll: "Este celular ainda não conhece nenhum posto. Adicione o posto em que você está.",
    more: (left) => `Mostrar mais ${left}`,
    add: "Adicionar um posto",
    sampledAsk: "Amostra coletada",
    sampledFault: "Escolha de onde saiu a amostra.",
    sampled: { pump: "da bomba", can: "de um galão", tank: "de um tanque" },
    sampledShort: { pump: "da bomba", can: "de um galão", tank: "de um tanque" },
    whenAsk: "Quando",
    whenNow: "agora há pouco",
    whenEarlier: "antes",
    when: "Dia e hora",
    whenFault: "Isto é no futuro. Informe a hora em que o combustível foi coletado.",
    unknown: "Um posto que não está mais neste celular",
  },

  tube: {
    title: "Proveta e temperaturas",
    ask: "Proveta",
    add: "Adicionar uma proveta",
    known: "Dados da proveta",
    addFirst: "Descreva a sua proveta uma vez; ela aparece em todo teste.",
    temperatureHow: "Medida ou estimada?",
    measured: "medida",
    guessed: "estimada",
    guessedHint:
      "Uma estimativa aumenta a incerteza do resultado. Água que ficou parada aqui está na temperatura do ar.",
    measuredHint: "Com um termômetro na água, antes de encher.",
    waterTemperature: "Temperatura da água",
    fuelTemperature: "Temperatura do combustível",
    fuelTemperatureHint: (degrees) =>
      `Como sai da bomba ou do galão. Em branco, conta como a da água, com ± ${degrees} de incerteza.`,
    fuelTemperatureHow: "Combustível: medida ou estimada?",
    waterShort: (degrees) => `água ${degrees}`,
    fuelShort: (degrees) => `combustível ${degrees}`,
    fuelWater: "Água já no combustível",
    fuelWaterHint:
      "A proveta não distingue esta água do etanol; por isso ela é descontada. As especificações admitem cerca de 1 %; sem um valor conhecido, deixe 0,5 %.",
    fuelWaterNow: (value) => `Água já no combustível: ${value} (alterar)`,
    temperatureFault: "Informe a temperatura da água. Sem termômetro, estime.",
    fuelWaterShort: (value) => `${value} de água no combustível`,
    unused: "Uma proveta que não está mais neste celular",
  },

  tubeForm: {
    addTitle: "Proveta nova",
    editTitle: "A sua proveta",
    scaleAsk: "O que está impresso na proveta?",
    scale: {
      volume: { label: "Mililitros", hint: "Graduação simples, por exemplo de 0 a 100 mL." },
      linear: {
        label: "Porcentagem, divisões iguais",
        hint: "Todas as divisões têm a mesma altura. Essa escala ignora que o etanol e a água encolhem quando se misturam; o app corrige.",
      },
      corrected: {
        label: "Porcentagem, contração já descontada",
        hint: "A altura das divisões muda ao longo da proveta, ou o fabricante diz que ela mostra o próprio teor de etanol.",
      },
      unknown: {
        label: "Porcentagem, não sei qual",
        hint: "Até você saber, o resultado sai como uma faixa de uns 6 pontos a 85 %.",
      },
    },
    waterMark: "Marca da água",
    waterMarkHint: "Até onde vai a água.",
    fuelMark: "Marca do combustível",
    fuelMarkHint: "Nível da água mais o combustível.",
    fuelMarkFault: "A marca do combustível tem de ficar acima da marca da água.",
    missing: "Informe primeiro as duas marcas e a menor divisão.",
    graduation: "Menor divisão da escala",
    liquidAsk: "Primeiro líquido",
    liquid: { water: "água", brine: "salmoura, 10 % de sal" },
    brineHint: "100 g de cloreto de sódio, completados a 1 L com água (NBR 13992). O repouso leva 15 minutos.",
    brineScale: "A salmoura pede uma proveta marcada em mililitros.",
    tolerance: "Tolerância das marcas",
    toleranceHint: "Se estiver impressa na proveta, como ± 0,5 mL. Se não, deixe em branco.",
    name: "Nome desta proveta",
    nameHint: "Para distinguir das outras que você tem. Fica neste celular.",
    nameOffered: (mark) => `Proveta ${mark}`,
    save: "Salvar esta proveta",
    back: "Voltar",
    finer: "Nome e tolerância",
  },

  before: {
    title: "Antes de despejar",
    caution: "Combustível e seus vapores pegam fogo com facilidade",
    points: [
      "Sem chama, sem cigarro, sem motor quente por perto.",
      "Tire o celular da tomada e deixe-o longe antes de despejar; toque antes em metal nu para descarregar a eletricidade estática.",
      "Ao ar livre ou com as portas abertas: o vapor desce e se acumula.",
      "Use luvas e óculos de proteção; combustível faz mal à pele e aos olhos.",
      "Encha o galão no chão, nunca dentro de um veículo nem sobre protetor de caçamba.",
      "Vale primeiro o que dizem o posto, a ficha com dados de segurança (FDS) e as regras do local.",
    ],
    done: "Já li",
    short: "Cuidados lidos",
  },

  run: {
    heading: (number) => `Medição ${number}`,
    removeShort: "Apagar",
  },

  fill: {
    title: "Encher",
    water: (liquid, mark) => `${liquid} até a marca ${mark}`,
    liquid: { water: "Água", brine: "Salmoura" },
    fuel: (mark) => `Combustível por cima, até a marca ${mark}`,
    eye: "Olho na altura da marca; leia o ponto mais baixo do menisco.",
    overshot: "Não ficou na marca",
    waterAt: "Nível da água",
    topAt: "Nível total",
    topFault: "O combustível tem de ficar acima da água.",
    missing: "Informe primeiro os dois níveis.",
    done: "Já enchi",
    short: (water, liquid, fuel) => `${water} ${liquid}, ${fuel} de combustível`,
    liquidShort: { water: "de água", brine: "de salmoura" },
    tubeAsk: "Em qual proveta?",
    tubeHint: "Duas provetas diferentes conferem uma à outra.",
  },

  shake: {
    title: "Feche, inverta, alivie",
    points: [
      "Feche a proveta.",
      "Inverta dez vezes, devagar e até o fim.",
      "Abra um pouco, com a proveta em pé e longe do rosto: formou pressão.",
    ],
    done: (minutes) => `Feito: iniciar os ${minutes}\u00a0minutos`,
    doneOnly: "Feito, sem cronômetro",
    short: "Invertida dez vezes, pressão aliviada",
  },

  settle: {
    title: "Deixe em repouso",
    hint: "Em pé, fora do sol e do vento. Enquanto isso, use o resto do app.",
    short: "Repouso terminado",
    look: "Ver",
    running: (left) => `Em repouso, faltam ${left}`,
    beside: "Tem outra proveta igual à mão?",
    besideHint: "As duas ficam em repouso lado a lado, cada uma com o seu cronômetro. Marque-as para não trocar.",
    besideAct: (number) => `Começar nela a medição ${number}`,
  },

  warm: {
    degrees: (above, uncertainty) => `${above} ± ${uncertainty}`,
    note: (degrees, now, later, half, minutes) =>
      `A mistura esquentou a proveta: ela está uns ${degrees} mais quente. Lida como fria, ela dá ${now} pontos a mais agora e ${later} em ${minutes} minutos (± ${half}). Meça a temperatura na hora de ler; se não, o app usa esta estimativa.`,
  },

  line: {
    title: "Ler a linha",
    hint: "Onde as duas camadas se separam. Olho na altura dela.",
    volume: "Leitura da linha",
    percent: "A escala mostra",
    drag: "Arraste ao longo da proveta, depois use − e +.",
    temperatureAsk: "Informar a temperatura na proveta",
    temperature: "Temperatura na proveta",
    temperatureHint: "Medida na camada de baixo, na hora de ler. Sem termômetro, deixe em branco: o app estima.",
    topAsk: "Ler também o topo do combustível",
    topHint: "Uma segunda conta, que não precisa corrigir a contração.",
    top: "Topo do combustível",
    topFault: "O topo do combustível fica acima da linha.",
    missing: "Leia primeiro a linha: arraste ao longo da proveta ou digite.",
    photo: "Foto",
    photoOptional: "Opcional. Com ela, outros podem conferir a leitura.",
    photoRead: "Ler a linha nesta foto",
    photoAgain: "Rever as marcas",
    photoTaken: (half) => `Lido na foto, ± ${half}. Se você mudar o número, vira leitura a olho.`,
    photoScale: "Quando você souber o tipo de escala desta proveta, dá para ler a linha numa foto.",
    photoBottomHint: (water, fuel) =>
      `Qualquer divisão abaixo da marca da água; um fundo plano vale 0 mL. A marca da água é a divisão ${water}, a do combustível é a divisão ${fuel}.`,
    photoMost: "Um teste tem no máximo seis fotos.",
    done: "Usar esta leitura",
    short: (value) => `Linha em ${value}`,
  },

  next: {
    second: "Uma segunda medição diminui a incerteza e mostra um erro.",
    enough: "As medições concordam.",
    rest: "As medições que contam concordam.",
    differ: "Mais uma medição pode mostrar qual delas destoa.",
    act: (number) => `Começar a medição ${number}`,
    more: "Mais uma medição",
    clean: "Antes, esvazie, enxágue e seque a proveta: o que sobra nela estraga a próxima medição.",
  },

  result,

  aside: {
    title: "A medição que destoa",
    offer: (number) =>
      `Sem a medição ${number}, as outras concordam. Se você sabe o que deu errado nela, deixe-a de fora.`,
    reason: "O que deu errado?",
    reasonHint: "Leitura errada, derramou, linha turva… O motivo vai junto com o teste.",
    reasonFault: "Diga primeiro o que deu errado nesta medição.",
    act: (number) => `Deixar a medição ${number} de fora`,
    done: (number, why) => `A medição ${number} está de fora: ${why}. Ela fica no teste, mas não conta.`,
    undo: (number) => `Voltar a contar a medição ${number}`,
  },

  odd: {
    above: (content, points, expected) =>
      `${content} está bem acima do que este posto deu: ${points} pontos acima dos ${expected} esperados em 9 de 10 abastecimentos.`,
    below: (content, points, expected) =>
      `${content} está bem abaixo do que este posto deu: ${points} pontos abaixo dos ${expected} esperados em 9 de 10 abastecimentos.`,
    repeat: "Repita a medição, ou confira a proveta e a escala.",
    again: "Teste aqui de novo, ou confira a proveta e a escala.",
    on: (day, sentence) => `${day}: ${sentence}`,
  },

  keep: {
    title: "Salvar",
    noteAdd: "Adicionar uma nota",
    note: "Nota",
    noteHint: "O que precisa saber quem ler isto depois.",
    share: "Compartilhar este teste",
    shareHint:
      "Posto, números, nota e fotos vão para a lista pública sob CC0-1.0: qualquer um pode usar para qualquer fim. Todos podem saber o posto, o dia, o resultado e a nota, e que os seus resultados de uma região e de um ano vêm da mesma pessoa; quem observa o servidor vê quando um teste chega.",
    ask: "Compartilhar os seus testes?",
    askHint: "O que é público não volta atrás. Nos próximos testes você pode mudar a resposta.",
    act: "Salvar este teste",
    actShared: "Salvar e compartilhar este teste",
    working: "Salvando…",
    fault: "Não deu para salvar o teste. Nada se perdeu: tente mais uma vez.",
    full: "O armazenamento deste celular está cheio. A ficha continua salva: libere espaço e depois salve o teste.",
  },

  correct: {
    title: "Corrigir um teste salvo",
    lead: (former) => `Ele deu ${former}. Mude o que está errado e salve como nova revisão.`,
    act: "Salvar a correção",
    later: "Agora não",
    discard: "Descartar estas mudanças",
    not: "Não dá para corrigir este teste neste celular.",
  },

  kept: {
    title: "Salvo",
    private: "O teste está neste celular e fica aqui.",
    waiting: "O teste está neste celular. Ele segue assim que o servidor responder.",
    needsPosition: "O teste está neste celular. Ele segue assim que o posto tiver uma posição.",
    log: "Ver no histórico",
    source: "Ver o posto",
    again: "Novo teste",
  },

  after: {
    caution: "A proveta tem resíduo de combustível com água",
    points: [
      "Nunca em ralo, vala ou no solo: o etanol e o combustível vão junto com a água.",
      "Junte num galão fechado, marcado como resíduo de combustível; entregue conforme as regras locais para resíduos perigosos.",
      "Enxágue a proveta com água e deixe secar: o que sobra nela estraga a próxima medição.",
      "Acetona e álcool são inflamáveis, e o que fica deles se lê como álcool: se usar, enxágue depois com água e deixe secar.",
      "Nunca guarde combustível na proveta. Aposente a proveta com trincas finas, turva ou com a escala apagando.",
      "Lave as mãos. Panos molhados de combustível secam ao ar livre, estendidos.",
    ],
  },
};
