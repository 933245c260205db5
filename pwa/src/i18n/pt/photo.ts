import type { Labels } from "..";

/** Labels for marking a tube in a photo. */
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

/** Labels for the camera with the outline of a tube. */
export const guide: Labels["guide"] = {
  open: "Foto com guia",
  title: "Foto com guia",
  picture: "O que a câmera vê, com o contorno da proveta por cima",
  hint: (bottom, water, fuel) =>
    `Segure o celular reto, na altura da linha, com os três traços em ${bottom}, ${water} e ${fuel}.`,
  torch: "Lanterna",
  narrower: "Mais estreito",
  wider: "Mais largo",
  take: "Tirar a foto",
  back: "Fechar a câmera",
  refused:
    "Não dá para usar a câmera aqui. Tire uma foto com o botão abaixo, ou libere a câmera nos ajustes do navegador.",
  line: "A linha, ampliada",
  mark: (volume: string) => `A marca de ${volume}, ampliada`,
  look: "Veja se as barras estão na linha e, embaixo, nas marcas.",
  fitted: "As marcas foram ajustadas à escala impressa.",
  check:
    "Confira as marcas: o app não conseguiu ler a escala impressa. Se uma marca não estiver entre as barras dela, marque à mão.",
  use: "Usar esta leitura",
  useHeld: "As marcas estão certas: usar esta leitura",
  byHand: "Marcar à mão",
  again: "Tirar outra",
  leave: "Ficar com a foto, ler a olho",
};

/** Labels for how level the phone is held. */
export const level: Labels["level"] = {
  ask: "Mostrar a inclinação do celular",
  level: "No nível",
  held: (tilt: string, up: boolean, turned: string) =>
    `Câmera apontada ${tilt}° para ${up ? "cima" : "baixo"}, girada ${turned}°`,
};
