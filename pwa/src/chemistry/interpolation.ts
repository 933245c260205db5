// Linear interpolation between the nodes of a table, constant beyond its ends; numpy.interp in Python.

/** Return the index of the node below a value, and the fraction of the way to the next, 0..1. */
export function place_of(nodes: readonly number[], at: number): [low: number, part: number] {
  const below = nodes.findLastIndex((node) => node <= at);
  const low = Math.min(Math.max(below, 0), nodes.length - 2);
  const [from, to] = [nodes[low] as number, nodes[low + 1] as number];
  return [low, Math.min(Math.max((at - from) / (to - from), 0), 1)];
}

/** Return the value between nodes. */
export function interpolated(nodes: readonly number[], values: readonly number[], at: number): number {
  const [low, part] = place_of(nodes, at);
  return (values[low] as number) + part * ((values[low + 1] as number) - (values[low] as number));
}
