/** Which writings on the map stand free, so that none runs over another or over a mark. */

export interface Box {
  left: number;
  right: number;
  top: number;
  bottom: number;
}

/** Whether each writing is shown; the first ones go first. marks: where nothing may be written. */
export function standFree(writings: readonly Box[], marks: readonly Box[]): boolean[] {
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
