import type { Labels } from "..";

/** Labels of the vehicles: which is in use, what belongs to it. */
export const vehicles: Labels["vehicles"] = {
  choose: "Veículo",
  offered: (number) => `Veículo ${number}`,
  one: "veículo",
  many: "veículos",
  change: "Dados do veículo",
  add: "Adicionar um veículo",
  newTitle: "Adicionar um veículo",
  name: "Nome do veículo",
  nameHint: "Como você chama: marca, cor, dono.",
  sensor: "Tem sensor de etanol",
  minimum: "Mínimo de etanol",
  minimumHint: "O teor que o acerto do motor pede. Deixe em branco se não houver.",
  save: "Salvar este veículo",
  remove: "Tirar este veículo da lista",
  removed: (name) => `Veículo tirado da lista: ${name}.`,
  minimumOf: (name) => `É o mínimo de ${name}. Para trocar de veículo, vá em Combustível.`,
  enough: (name, probability, minimum) => `${name}: ${probability} de probabilidade de atingir o mínimo de ${minimum}.`,
};
