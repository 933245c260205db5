import type { Labels } from "..";

/** Labels of the widgets that every place uses: fields, timer, glyph, dialog, chart. */
export const parts: Labels["parts"] = {
  scanner: {
    start: "Ler o código",
    stop: "Parar a câmera",
    picture: "O que a câmera vê",
    fault: "Não dá para usar a câmera. Libere nos ajustes do navegador, ou digite o texto que está sob o código.",
  },

  less: (label) => `${label}: menos`,
  more: (label) => `${label}: mais`,
  sign: (label) => `${label}: acima ou abaixo de zero`,
  notANumber: "Isto não é um número. Use algarismos e uma só vírgula.",
  tooLow: (limit) => `É baixo demais. O mínimo aqui é ${limit}.`,
  tooHigh: (limit) => `É alto demais. O máximo aqui é ${limit}.`,

  tube: (content, uncertainty) => `Etanol ${content} %, mais ou menos ${uncertainty} pontos`,
  tubeWithout: (content) => `Etanol ${content} %, incerteza desconhecida`,
  tubeSpan: (low, high) => `Etanol entre ${low} e ${high} %`,
  tubeNext: (content, low, high) =>
    `Etanol cerca de ${content} %, próximo abastecimento entre ${low} e ${high} %, 9 de 10 vezes`,
  tubeEmpty: "Ainda sem teste",
  none: "–",
  plusMinus: (value, uncertainty, unit) => `${value} ± ${uncertainty}\u00a0${unit}`,
  span: (low, high) => `${low}\u00a0a\u00a0${high}\u00a0%`,
  spread: (uncertainty) => `± ${uncertainty} %`,
  spreadUnknown: "% ± ?",

  clock: "Tempo de repouso",
  clockStart: (minutes) => `Iniciar os ${minutes} minutos`,
  clockSkip: "Já separou, pular o tempo",
  clockAgain: "Reiniciar o tempo",
  clockDone: "Repouso terminado. Leia a linha agora.",
  clockDoneSince: (minutes) => `O tempo acabou há ${minutes} min. Leia a linha agora.`,
  clockEnds: (time) => `Até ${time}`,
  clockAwake: "A tela fica acesa até o tempo acabar.",
  clockNotify: "Avisar também por notificação",
  clockNotifyTitle: (run) => `A medição ${run} terminou o repouso`,
  clockNotifyBody: "Leia a linha de separação.",
  clockSpoken: (minutes) => (minutes === 1 ? "falta 1 minuto" : `faltam ${minutes} minutos`),

  strip: "Provetas em repouso",
  stripRun: (run) => `Medição ${run} em repouso`,
  stripOver: (run) => `A medição ${run} terminou o repouso: leia a linha`,
  photoAdd: "Fotografar a proveta",
  photoAddMore: "Outra foto",
  photoRemove: "Tirar esta foto",
  photoMissing: "Esta foto não está mais neste celular.",
  photoAlt: (number) => `Foto ${number} da proveta`,
  photoMarked: "As marcas usadas para ler a linha estão desenhadas nela.",
  photoWorking: "Reduzindo a foto…",
  photoFault: "Não deu para ler esta imagem. Tire outra, ou escolha um arquivo JPEG, PNG ou WebP.",
  photoFull:
    "O armazenamento deste celular está cheio: não há espaço para a foto. Libere espaço e tire a foto de novo.",
  photoShare: (number) => `Compartilhar a foto ${number}`,
  undo: {
    act: "Desfazer",
    can: (name) => `${name} tirado da lista.`,
    tube: "Proveta aposentada.",
    plan: "Plano de coletas encerrado.",
    sheet: "Teste descartado.",
    run: (number) => `Medição ${number} apagada.`,
    photo: "Foto tirada.",
    test: "Teste apagado.",
  },
  photoHint: "Olho na altura da linha. O local e os dados da câmera saem da imagem.",

  hardly: "menos de 1 %",
  nearly: "mais de 99 %",
};
