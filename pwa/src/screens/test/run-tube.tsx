/** Which of the person's tubes is used for a further run: a fault of one shows when compared with another. */

import { labels } from "../../i18n";
import { EMPTY_RUN } from "../../model/progress";
import type { Draft, DraftRun } from "../../rows/draft";
import type { TubeRow } from "../../rows/tube";
import { ChoiceRow } from "../../widgets/choice-row";

export interface RunTubeProps {
  draft: Draft;
  run: DraftRun;
  /** The sheet's own. */
  tube: TubeRow;
  tubes: readonly TubeRow[];
  changeRun: (part: Partial<DraftRun>) => void;
}

export function RunTube({ draft, run, tube, tubes, changeRun }: RunTubeProps) {
  const words = labels.test.fill;
  const chosen = run.tube ?? draft.tube;
  const fitting = tubes.filter((one) => one.liquid === tube.liquid && (!one.put_away || one.id === chosen));
  if (fitting.length < 2) return null;
  return (
    <ChoiceRow
      tall
      legend={words.tubeAsk}
      value={chosen}
      // Filling and reading belong to the other tube.
      onValue={(id) => changeRun({ ...EMPTY_RUN, photo: run.photo, tube: id === draft.tube ? null : id })}
      options={fitting.map((one) => ({
        value: one.id,
        label: one.name,
        hint: labels.scales[one.scale].label,
      }))}
      hint={words.tubeHint}
    />
  );
}
