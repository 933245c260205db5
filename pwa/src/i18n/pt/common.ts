import type { Labels } from "..";

/** Labels used in more than one place. */
export const common: Labels["common"] = {
  name: "Splitline",
  description: "Meça na proveta quanto etanol há no combustível e veja qual posto é constante.",
  skip: "Ir para o conteúdo",
  bar: "Seções",
  places: { test: "Teste", sources: "Postos", fuel: "Combustível", log: "Histórico" },
  opening: "Abrindo…",
  absent: "Esta parte do app não carregou. O que você salvou continua salvo; tente de novo, com conexão se houver.",
  demo: "Dados de demonstração, inventados. Nenhum destes postos existe.",

  insecure: "Este endereço não é https. O app não fica no celular e nada pode ser enviado.",
  unsent: (records) => `Ainda não enviado: ${records}`,
  record: "registro",
  records: "registros",
  test: "teste",
  tests: "testes",
  parked: (records) => `Recusado pelo servidor: ${records}`,
  parkedLook: "Ver no histórico",
  exchanging: "Sincronizando com o servidor…",
  exchanged: (ago) => `Última sincronização: ${ago}`,
  neverExchanged: "Ainda não sincronizado",
  troubled: (why) => `A última tentativa falhou: ${why}`,
  trouble: {
    no_answer: "o servidor não responde",
    too_slow: "o servidor demorou demais",
    not_understood: "não deu para entender a resposta",
    not_admitted: "o servidor não aceitou a chave secreta deste celular",
    server_fault: "o servidor está com defeito",
    refused: "o servidor recusou o pedido",
  },
  answerUnknown: (word) =>
    `O servidor respondeu “${word}”, que esta versão não conhece. Carregue uma versão mais nova do app e tente de novo.`,

  clock: {
    behind: (span) => `O relógio deste celular está ${span} atrasado em relação ao do servidor.`,
    ahead: (span) => `O relógio deste celular está ${span} adiantado em relação ao do servidor.`,
    what: "Os testes ficam com a hora errada. Acerte a data e a hora do celular; o que você já salvou pode ser corrigido no histórico.",
  },

  updateReady: "Há uma versão nova.",
  updateTake: "Carregar agora",
  updateLater: "Ela carrega quando a proveta terminar o repouso e você concordar.",

  moved: {
    what: (tests) =>
      `Um cálculo melhor: ${tests} seus, calculados de novo. Ele conta a gasolina que um combustível forte deixa na água e o calor da mistura; por isso, um combustível forte numa proveta meio a meio dá cerca de um ponto a menos.`,
    largest: (before, after) =>
      `A maior mudança: ${before} virou ${after}. Cada teste ainda mostra o resultado antigo.`,
  },

  storage: {
    old_tab: "O Splitline está aberto em outra aba, numa versão mais antiga. Feche aquela aba para continuar.",
    new_tab: "Outra aba carregou uma versão mais nova. Recarregue esta; a ficha continua salva.",
    lost: "O armazenamento deste celular não responde. Deixe esta página aberta e depois recarregue.",
    full: "O armazenamento deste celular está quase cheio. Apague, nos ajustes, as fotos que também estão no servidor.",
  },
  storageLook: "Ajustes",
  loadAgain: "Recarregar",
  evictionTitle: "Fora da tela de início",
  eviction:
    "O Safari pode apagar o que esta página guarda se ela ficar algumas semanas sem abrir. Adicione-a à tela de início ou salve o arquivo de recuperação.",
  evictionUnsent: (records) => `Você perderia: ${records}.`,
  evictionSave: "Arquivo de recuperação",
  failed: (what) => `Não funcionou (${what}). Tente mais uma vez.`,
  understood: "Entendi",

  faultTitle: "Esta página parou de funcionar",
  faultBody: "O que você salvou continua salvo, e a ficha também.",
  faultAgain: "Tentar de novo",
  faultRepair: "Reinstalar o app",
  repairTitle: "Reinstalar o app",
  repairBody:
    "Remove o app deste celular e o baixa de novo do servidor. Testes, postos, provetas e a ficha ficam. Precisa de conexão.",
  repairAct: "Remover e baixar de novo",
  repairOffline: "O servidor não responde. Tente de novo com conexão; o app continua funcionando como está.",
  lost: "Não há nada neste endereço.",
  back: "Voltar",
  choose: "Escolha na lista; abre aqui.",
};
