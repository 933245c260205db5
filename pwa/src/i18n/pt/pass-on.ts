import type { Labels } from "..";

/** Labels for sharing a result: on the picture, and in the text with it. */
export const passOn: Labels["passOn"] = {
  title: "Enviar a alguém",
  show: "Enviar como imagem",
  hint: "Nada sai do celular antes de você enviar. A imagem mostra o posto e não mostra o seu nome.",
  send: "Enviar imagem e texto",
  save: "Salvar a imagem",
  copy: "Copiar o texto",
  sent: "Enviado.",
  saved: "A imagem está salva.",
  copied: "O texto está copiado.",
  copyFault: "Não deu para copiar o texto. Selecione e copie à mão.",
  drawFault: "Este navegador não conseguiu desenhar a imagem. O texto abaixo diz o mesmo.",
  sendFault: "Não deu para enviar. Salve a imagem.",

  content: "Etanol, em volume",
  reading: (content) => `Teor de etanol ${content}, em volume`,
  coverage: (interval) => `Teor verdadeiro: ${interval}, em 95 de 100 casos.`,
  span: "Não se sabe o tipo de escala; por isso o teor é uma faixa.",
  contradicted: "As medições ou as camadas se contradizem; ainda não dá para confiar neste ±.",
  sampled: { pump: "Da bomba", can: "De um galão", tank: "De um tanque" },
  when: (sampled, moment) => `${sampled}, ${moment}`,
  runs: (count) => `${count}, proveta lida a olho ou por foto`,
  run: "medição",
  manyRuns: "medições",
  corrected: (scale, read, change) => `${scale}: ${read} antes das correções de ${change} pontos`,
  caution: "A proveta mede só o teor: ela não diz se um motor aguenta o combustível.",
  cautionFire: "Combustível e vapores pegam fogo fácil. Siga as regras do local e a ficha com dados de segurança.",
};
