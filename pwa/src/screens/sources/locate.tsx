/** Asks for the phone's position, so that distances can be shown. */

import { useState } from "preact/hooks";
import { labels } from "../../i18n";
import { findPosition } from "../../state/find-position";

export function Locate() {
  const words = labels.sources;
  const [phase, setPhase] = useState<"idle" | "looking" | "failed">("idle");
  const look = () => {
    setPhase("looking");
    findPosition().then(
      () => setPhase("idle"),
      () => setPhase("failed"),
    );
  };
  return (
    <div class="field">
      <button type="button" disabled={phase === "looking"} onClick={look}>
        {phase === "looking" ? words.locating : words.locate}
      </button>
      {phase === "failed" && (
        <p class="fault" role="alert">
          {words.locateFault}
        </p>
      )}
    </div>
  );
}
