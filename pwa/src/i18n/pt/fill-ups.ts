import type { Labels } from "..";

/** Labels of the fill-ups: what went in, what the sensor showed, what the tank should contain. */
export const fillUps: Labels["fillUps"] = {
  title: "Abastecimentos",
  enter: "Registrar um abastecimento",
  one: "abastecimento",
  many: "abastecimentos",
  none: "Nenhum abastecimento ainda.",
  before: "No tanque antes",
  beforeHint: "O que o marcador mostrava.",
  beforeUnknown: "Sem isto, o app não consegue calcular o que o tanque deveria ter.",
  volumeMissing: "Informe quanto entrou.",
  where: "Abastecido em",
  content: "Teor de",
  typed: "digitado, ou desconhecido",
  estimate: (reading) => `estimativa do próximo abastecimento: ${reading}`,
  sensor: "O que o sensor mostra",
  sensorHint:
    "Rode antes alguns minutos: o combustível novo precisa chegar até ele. Você também pode informar depois, em “Conferir o sensor”.",
  note: "Nota",
  noteHint: "Água que você viu, um preço, algo estranho.",
  save: "Salvar este abastecimento",
  saved: "Abastecimento salvo.",
  removed: "Abastecimento apagado. O tanque continua como informado.",
  remove: "Apagar",
  put: (volume, name) => (name ? `${volume} de ${name}` : volume),
  from: { test: "de um teste", estimate: "estimado, sem teste", typed: "digitado, sem teste" },
  unknown: "teor desconhecido",
  water: (share) => `supõe ${share} de água no combustível`,
  held: (volume, reading) => `Depois o tanque deveria ter ${volume} a ${reading}.`,
  heldUnknown: "O app não consegue calcular o que o tanque tinha depois.",
  sensed: (reading) => `O sensor mostrou ${reading}.`,
  within: (difference) => `Diferença de ${difference}: as duas incertezas juntas explicam.`,
  outside: (difference) => `Diferença de ${difference}: mais do que as duas incertezas juntas explicam.`,
  points: "pontos",
  chart: (many) => `O que o tanque deveria ter depois de ${many}, e o que o sensor mostrou.`,
  key: "Círculos cheios: calculado. Quadrados vazios: sensor. Barras: ± a 95 %.",
  withFill: (day) => `Salvar com o abastecimento de ${day}`,
  withFillDone: "Salvo com o abastecimento.",
  drift: {
    sensor: (times, differences) =>
      `${times} seguidas o sensor diferiu mais do que as duas incertezas juntas explicam: ${differences}. Ele pode ter saído da calibração, ou o combustível não era o que você informou. Teste o tanque.`,
    station: (times, differences, name) =>
      `${times} seguidas, depois de abastecer em ${name}, o sensor diferiu mais do que as duas incertezas juntas explicam: ${differences}. Com outro combustível, ele concordou. O combustível de ${name} pode não ser o que você informou. Teste esse combustível.`,
    either: (times, differences, name) =>
      `${times} seguidas, depois de abastecer em ${name}, o sensor diferiu mais do que as duas incertezas juntas explicam: ${differences}. Só com isto não dá para saber se o sensor está errado ou se o combustível é outro. Teste o tanque.`,
  },
  time: "vez",
  times: "vezes",
};
