import type { Labels } from "..";

/** Labels for entering a station. */
export const sourceForm: Labels["sourceForm"] = {
  title: "Adicionar um posto",
  editTitle: "Alterar este posto",
  name: "Nome",
  nameHint: "Como na placa, mais a cidade.",
  nameFault: "Dê um nome ao posto, para que outros o achem.",
  pump: "Bomba",
  pumpHint: "O número ou a identificação dela, onde há mais de uma.",
  where: "Onde fica?",
  here: "estou aqui",
  typed: "digitar",
  later: "depois",
  howFault: "Diga onde ele fica.",
  hereFault: "Deixe o celular achar a sua localização, digite a posição ou deixe para depois.",
  look: "Usar minha localização",
  lookAgain: "Procurar de novo",
  looking: "Procurando…",
  found: (position) => `Achei: ${position}`,
  trouble: {
    refused: "O celular não dá a posição a esta página. Libere nos ajustes do navegador, ou digite.",
    unavailable: "O celular está sem posição agora. Digite, ou deixe para depois.",
    timeout: "O celular não achou a posição a tempo. Tente de novo a céu aberto, ou deixe para depois.",
  },
  known: "É um destes?",
  knownHint:
    "Eles ficam a menos de 150 m, ou a menos de 1 km com nome parecido. Um posto já conhecido não precisa de outro cadastro.",
  position: "Latitude e longitude",
  positionHint: "Graus decimais, como -22.30120, -47.51440.",
  typedFault: "Não são dois números em graus. Escreva a latitude, uma vírgula e a longitude: -22.30120, -47.51440.",
  laterHint: "Os testes ficam neste celular e seguem quando o posto tiver uma posição.",
  notes: "Notas",
  notesHint: "O que ajuda a achar o posto ou a conhecer a bomba. Outros podem ler.",
  save: "Salvar este posto",
  back: "Voltar",
};
