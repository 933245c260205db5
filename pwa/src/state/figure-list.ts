/** Caches the list of sources: a slow phone takes longer to read two thousand rows than to show them. */

import type { FiguresRow } from "../rows/source";
import { onChange } from "../store/changes";
import { listFigures } from "../store/figure-rows";

export class FigureList {
  #listed: Promise<FiguresRow[]> | null = null;

  /** The whole list, read once for all callers until it changes; do not modify its rows. */
  readonly read = (): Promise<FiguresRow[]> => {
    if (this.#listed !== null) return this.#listed;
    const asked = listFigures();
    this.#listed = asked;
    const forget = () => {
      stop();
      if (this.#listed === asked) this.#listed = null;
    };
    const stop = onChange((places) => places.includes("figures") && forget());
    asked.catch(forget);
    return asked;
  };
}
