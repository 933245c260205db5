/** Whether a further run is needed, and the button to start it. */

import { labels } from "../../i18n";
import type { Further } from "../shared/result/outcome";

export interface NextRunProps {
  further: Further;
  /** Number of the next run. */
  number: number;
  onStart: () => void;
}

export function NextRun({ further, number, onStart }: NextRunProps) {
  const words = labels.test.next;
  if (further !== "second" && further !== "third") {
    return (
      <div class="next-run">
        <p>{words[further]}</p>
        <button type="button" class="plain" onClick={onStart}>
          {words.more}
        </button>
      </div>
    );
  }
  return (
    <div class="next-run">
      {further === "second" && <p>{words.second}</p>}
      <p class="hint">{words.clean}</p>
      <button type="button" class="main" onClick={onStart}>
        {words.act(number)}
      </button>
    </div>
  );
}
