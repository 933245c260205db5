import type { Labels } from "..";

/** The kinds of scale: what each is called, how one knows it, and how a result read on it begins where it is passed on. */
export const scales: Labels["scales"] = {
  volume: {
    label: "Mililitros",
    hint: "Graduação simples, por exemplo de 0 a 100 mL.",
    passedOn: "Lido em mililitros",
  },
  linear: {
    label: "Porcentagem, divisões iguais",
    hint: "Todas as divisões têm a mesma altura. Essa escala ignora que o etanol e a água encolhem quando se misturam; o app corrige.",
    passedOn: "Lido numa escala de porcentagem uniforme",
  },
  corrected: {
    label: "Porcentagem, contração já descontada",
    hint: "A altura das divisões muda ao longo da proveta, ou o fabricante diz que ela mostra o próprio teor de etanol.",
    passedOn: "Lido numa escala de porcentagem que já desconta a contração",
  },
  unknown: {
    label: "Porcentagem, tipo desconhecido",
    hint: "Até você saber, o resultado sai como uma faixa de uns 6 pontos a 85 %.",
    passedOn: "Lido numa escala de porcentagem de tipo desconhecido",
  },
};
