import type { Labels } from "..";

/** The words for marking a tube in a photo. */
export const photo: Labels["photo"] = {
  title: "Marcar a proveta na foto",
  hint: "Arraste cada cruz para o lugar dela no eixo da proveta, ou escolha uma e mova com as setas.",
  marks: {
    bottom: "Marca de baixo",
    water: "Marca da água",
    fuel: "Marca do combustível",
    line: "Linha de separação",
  },
  choose: "Qual marca",
  up: "Para cima",
  down: "Para baixo",
  left: "Para a esquerda",
  right: "Para a direita",
  nudge: (mark, way) => `${mark}: ${way.toLowerCase()}`,
  at: (mark, x, y) => `${mark}, ${x} na largura, ${y} na altura`,
  bottomVolume: "Volume na marca de baixo",
  suggest: "Achar a linha",
  searching: "Procurando a linha…",
  noClearLine:
    "Não há linha nítida nesta foto. Deixe mais tempo em repouso, ou fotografe contra um fundo claro e liso.",
  suggestHint: "Procura entre a marca da água e a do combustível, quando as duas já estão no lugar.",
  suggested: "Achei. Veja se a cruz está na linha; se não, mova.",
  reads: (volume, half) => `A foto dá ${volume} ± ${half}.`,
  take: "Usar esta leitura",
  back: "Deixar a foto sem marcas",
  unreadable: "Não dá para mostrar esta foto. Tire outra.",
};
