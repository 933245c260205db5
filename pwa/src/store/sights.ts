/** The proportions of the person's own tubes in a photo: learned once from the marks, stored on this phone. */

import type { Sight } from "../model/sight";
import { changeFact, readFact } from "./settings";

/** null: nobody has marked this tube in a photo yet. */
export async function readSight(tube: string): Promise<Sight | null> {
  return (await readFact("sights"))?.[tube] ?? null;
}

/** Saves what a photo showed. A width that the photo does not show stays as it was. */
export function saveSight(tube: string, sight: Sight, withWidth: boolean): Promise<void> {
  return changeFact("sights", (old) => {
    const width = withWidth ? sight.width : (old?.[tube]?.width ?? sight.width);
    return { ...old, [tube]: { ...sight, width } };
  });
}
