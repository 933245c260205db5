/** After saving: the test's state, and what to do with the tube's contents. */

import { labels } from "../../i18n";
import { isOff } from "../../model/clock";
import type { Odd } from "../../model/odd";
import type { OwnTest } from "../../rows/test";
import { to } from "../../state/router";
import { clockBehind } from "../../state/signals";
import { CautionBox } from "../../widgets/caution-box";
import { Reading } from "../../widgets/reading";
import { TubeGlyph } from "../../widgets/tube-glyph";
import { ClockNotice } from "../shared/clock-notice";
import { OddNote } from "../shared/odd-note";
import { PassOn } from "../shared/pass-on";

export interface AfterSavingProps {
  kept: OwnTest;
  /** From before this test became a part of the source's figures. */
  odd: Odd | null;
  onAgain: () => void;
}

export function AfterSaving({ kept, odd, onAgain }: AfterSavingProps) {
  const words = labels.test.kept;
  const { content, expanded_uncertainty, source } = kept.test;
  return (
    <div class="form">
      <header class="head">
        <h1>{words.title}</h1>
        <p role="status">{statusOf(kept)}</p>
      </header>
      <div class="result-main">
        <TubeGlyph content={content} uncertainty={expanded_uncertainty} size="large" scale silent />
        <div>
          <Reading content={content} uncertainty={expanded_uncertainty} size="large" />
          <p class="quiet">{labels.result.content}</p>
        </div>
      </div>
      {odd && <OddNote odd={odd} isSaved />}
      <ClockNotice />
      <PassOn test={kept.test} />
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

function statusOf(kept: OwnTest): string {
  const words = labels.test.kept;
  if (!kept.shared) return words.private;
  return kept.sync.state === "needs_position" ? words.needsPosition : words.waiting;
}
