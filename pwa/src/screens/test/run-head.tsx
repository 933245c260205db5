/** Heading of one run, with the button to remove it from the sheet. */

import { labels } from "../../i18n";
import type { Draft, DraftRun } from "../../rows/draft";
import { dropPhotos, putPhotosBack } from "../../store/photos";
import { offerUndo } from "../../widgets/undo";

export interface RunHeadProps {
  index: number;
  draft: Draft;
  /** Everything before it is filled in. */
  reached: boolean;
  onRuns: (runs: DraftRun[]) => void;
  /** The runs have changed: the sheet continues at the first open stage. */
  onRemoved: () => void;
}

export function RunHead({ index, draft, reached, onRuns, onRemoved }: RunHeadProps) {
  const words = labels.test.run;
  const removable = draft.runs.length > 1 || (draft.runs[index]?.water ?? null) !== null;
  const remove = () => {
    const left = draft.runs.filter((_, at) => at !== index);
    const photo = draft.runs[index]?.photo ?? null;
    const isOnly = photo !== null && left.every((run) => run.photo !== photo);
    const gone = dropPhotos(isOnly ? [photo] : []);
    onRuns(left);
    onRemoved();
    const putBack = () => {
      onRuns(draft.runs);
      onRemoved();
    };
    offerUndo(labels.parts.undo.run(index + 1), () => void gone.then(putPhotosBack).then(putBack));
  };
  return (
    <div class="run-head" data-reached={reached || undefined}>
      <h2 class="run-title">{words.heading(index + 1)}</h2>
      {removable && (
        <button type="button" class="plain small" onClick={remove}>
          {words.removeShort}
          <span class="unseen">: {words.heading(index + 1)}</span>
        </button>
      )}
    </div>
  );
}
