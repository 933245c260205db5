/** Tubes and runs in words. */

import { mL, percent } from "../../format";
import { labels } from "../../labels";
import type { Run, Tube } from "../../records";

export function tubeWords(tube: Tube): string {
  const { scale, liquid } = labels.test.tubeForm;
  return tube.liquid === "brine" ? `${scale[tube.scale].label}, ${liquid.brine}` : scale[tube.scale].label;
}

export function runWords(run: Run): string {
  const read = run.line !== null ? mL(run.line) : percent(run.percent ?? Number.NaN);
  const text = labels.log.page.runText(mL(run.water), mL(run.fuel), read);
  // A number stays with its unit where the line breaks.
  return text.replaceAll(/(\d) (mL|%)/g, "$1\u00a0$2");
}
