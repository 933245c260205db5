/** Corners that a simplification must keep, so that small islands and narrow strips do not vanish. */

/** How many inner corners an island's outline and a piece of border keep, regardless of size. */
const KEPT_OF_ISLAND = 6;
const KEPT_OF_BORDER = 2;

/** Gives the most important corners of every arc of a weighted topology a weight above any threshold. */
export function keepShapes(weighed) {
  for (const arc of weighed.arcs) {
    const [first, last] = [arc[0], arc[arc.length - 1]];
    const island = first[0] === last[0] && first[1] === last[1];
    const inner = arc.slice(1, -1).sort((a, b) => b[2] - a[2]);
    for (const corner of inner.slice(0, island ? KEPT_OF_ISLAND : KEPT_OF_BORDER)) corner[2] = Infinity;
  }
  return weighed;
}
