/** Which labels on the map are shown, so that none overlaps another or a mark. */

export interface Box {
  left: number;
  right: number;
  top: number;
  bottom: number;
}

/** Whether each label is shown; earlier ones have priority. marks: areas where nothing may be written. */
export function visibleLabels(writings: readonly Box[], marks: readonly Box[]): boolean[] {
  const taken = [...marks];
  return writings.map((one) => {
    const free = !taken.some((other) => isOver(one, other));
    if (free) taken.push(one);
    return free;
  });
}

function isOver(a: Box, b: Box): boolean {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}
