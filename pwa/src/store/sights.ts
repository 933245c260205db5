/** How one's own tubes look in a photo: taught once by its marks, kept on this phone. */

import type { Sight } from "../model/sight";
import { changeFact, readFact } from "./settings";

/** null: nobody has marked this tube in a photo yet. */
export async function readSight(tube: string): Promise<Sight | null> {
  return (await readFact("sights"))?.[tube] ?? null;
}

/** What a photo taught. A width that the photo does not tell stays as it was. */
export function keepSight(tube: string, sight: Sight, withWidth: boolean): Promise<void> {
  return changeFact("sights", (old) => {
    const width = withWidth ? sight.width : (old?.[tube]?.width ?? sight.width);
    return { ...old, [tube]: { ...sight, width } };
  });
}
