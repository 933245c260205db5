/** After keeping: where the test is now, and what to do with what is left in the tube. */

import { result } from "../../chemistry/budget";
import { isOff } from "../../clock";
import { labels } from "../../labels";
import { clockBehind } from "../../live";
import type { Odd } from "../../odd";
import { CautionBox } from "../../parts/caution-box";
import { Reading } from "../../parts/reading";
import { TubeGlyph } from "../../parts/tube-glyph";
import { to } from "../../router";
import { later } from "../../shell/later";
import type { OwnTest } from "../../store/schema";
import { ClockNotice } from "../clock-notice";
import { OddNote } from "../odd-note";
import type { PassOnProps } from "../pass-on";

/** Only who hands a result on needs its program. */
const PassOn = later<PassOnProps>(() => import("../pass-on"));

export interface KeptProps {
  kept: OwnTest;
  /** As it was before this test itself became a part of what is known of the source. */
  odd: Odd | null;
  onAgain: () => void;
}

export function Kept({ kept, odd, onAgain }: KeptProps) {
  const words = labels.test.kept;
  const { content, expanded_uncertainty, source } = kept.test;
  return (
    <div class="form">
      <header class="head">
        <h1>{words.title}</h1>
        <p role="status">{standing(kept)}</p>
      </header>
      <div class="result-main">
        <TubeGlyph content={content} uncertainty={expanded_uncertainty} size="large" scale silent />
        <div>
          <Reading content={content} uncertainty={expanded_uncertainty} size="large" />
          <p class="quiet">{labels.result.content}</p>
        </div>
      </div>
      {odd && <OddNote odd={odd} kept />}
      <ClockNotice />
      <PassOn test={kept.test} found={result(kept.test)} />
      <CautionBox title={labels.test.after.caution} points={labels.test.after.points} />
      <div class="buttons">
        <a class="button" href={to("source", source)}>
          {words.source}
        </a>
        <a class="button" href={isOff(clockBehind.value) ? to("log", kept.id) : to("log")}>
          {words.log}
        </a>
      </div>
      <button type="button" class="main" onClick={onAgain}>
        {words.again}
      </button>
    </div>
  );
}

function standing(kept: OwnTest): string {
  const words = labels.test.kept;
  if (!kept.shared) return words.private;
  return kept.sync.state === "needs_position" ? words.needsPosition : words.waiting;
}
