/** Records of a later version of the app come with a pull: what this version does not know of a test. */

import { LIQUIDS, type Sampled, SCALES, type Tube } from "../records";

/** Of what is sold there; what is left in a tank is a mixture. */
const OF_THE_SOURCE: readonly string[] = ["pump", "can"] satisfies Sampled[];

/** Whether this version can compute what was read in such a tube; with another kind it would give a wrong figure. */
export function isKnownTube({ scale, liquid }: Pick<Tube, "scale" | "liquid">): boolean {
  return (SCALES as readonly string[]).includes(scale) && (LIQUIDS as readonly string[]).includes(liquid);
}

/** Whether a sample tells of what a source sells. */
export function isOfSource(sampled: string): boolean {
  return OF_THE_SOURCE.includes(sampled);
}
