import type { Labels } from "..";

/** Labels of the page that explains the test in five pictures. */
export const method: Labels["method"] = {
  title: "Como fazer um teste",
  lead: "A água tira o etanol do combustível. A camada de baixo cresce, e a linha entre as camadas mostra quanto etanol havia.",
  skip: "Pular",
  begin: "Começar um teste",
  open: "Como fazer um teste",
  steps: [
    {
      title: "Colete a amostra ao ar livre",
      text: "O galão fica no chão e o bico encosta nele. Sem chama, sem carregador, sem motor ligado.",
    },
    { title: "Água até a marca", text: "Olho na altura da marca. Vale o ponto mais baixo do menisco." },
    {
      title: "Combustível por cima, até a marca",
      text: "Despeje devagar. Anote a temperatura na proveta.",
    },
    {
      title: "Feche, inverta dez vezes, alivie",
      text: "Devagar e até o fim. Depois abra um pouco, longe do rosto: formou pressão.",
    },
    {
      title: "Deixe em repouso e leia a linha",
      text: "Dez minutos em pé, depois olho na altura da linha onde as camadas se separam. Duas medições, e sai o resultado.",
    },
  ],
  result:
    "Uma escala impressa pode errar 6 pontos, porque o etanol e a água encolhem quando se misturam. O app calcula o teor e a incerteza dele.",
};
