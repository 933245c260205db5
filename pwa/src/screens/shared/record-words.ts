/** Tubes and runs in words. */

import { labels } from "../../i18n";
import { inLine, mL, percent } from "../../i18n/format";
import type { Problem, Run, Tube } from "../../records";
import { problemSentence } from "./problem-sentence";
import { offsetText } from "./tube-words";

export function tubeWords(tube: Tube): string {
  const { liquid } = labels.test.tubeForm;
  const words = labels.log.page;
  const { calibration = [], offset = 0, offset_uncertainty = 0 } = tube;
  return [
    labels.scales[tube.scale]?.label ?? words.laterKind,
    ...(tube.liquid === "brine" ? [liquid.brine] : []),
    ...(calibration.length > 0 ? [words.weighed] : []),
    ...(offset_uncertainty > 0 ? [words.offset(offsetText(offset, offset_uncertainty))] : []),
  ].join(", ");
}

export function runWords(run: Run): string {
  const read = run.line !== null ? mL(run.line) : percent(run.percent ?? Number.NaN);
  const words = labels.log.page;
  return inLine([words.runText(mL(run.water), mL(run.fuel), read), run.tube && words.runTube(tubeWords(run.tube))]);
}

/** Codes for which a moderator may have given a reason in free text. */
const WITH_REASON: readonly string[] = ["withheld", "all_withheld", "change_refused"];

/** The server's remark in the language of the app; a pull has only the code, which may come from a later server. */
export function remarkText(problem: Problem): string {
  if (WITH_REASON.includes(problem.code) && problem.value !== "") {
    return `${problemSentence(problem)} ${labels.log.page.reason(problem.value)}`;
  }
  if (problem.code in labels.problems) return problemSentence(problem);
  return problem.sentence || labels.log.page.laterRemark(problem.code);
}
