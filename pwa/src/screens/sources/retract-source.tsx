/** Withdrawing the person's own source, or why that is not possible. */

import { useState } from "preact/hooks";
import { labels } from "../../i18n";
import type { SourceRow } from "../../rows/source";
import { useStored } from "../../state/hooks";
import { go } from "../../state/router";
import { obstacleTo, retractSource } from "../../store/retract-source";
import { ConfirmDialog } from "../../widgets/confirm-dialog";

export function RetractSource({ source }: { source: SourceRow }) {
  const words = labels.sources.retract;
  const [asking, setAsking] = useState(false);
  const found = useStored(
    async () => ({ obstacle: await obstacleTo(source.id) }),
    ["own_tests", "pulled_tests", "merged", "drafts"],
    [source.id],
  );
  if (source.retracting) return <p role="status">{words.waiting}</p>;
  if (!found) return null;
  const refusal = source.sync?.problems.find((problem) => problem.code === "source_in_use");
  if (found.obstacle !== null) return <p class="hint">{words.held[found.obstacle]}</p>;
  const act = async () => {
    setAsking(false);
    if ((await retractSource(source.id)) === null) go(["sources"]);
  };
  return (
    <>
      {refusal && <p class="warning">{refusal.sentence}</p>}
      <button type="button" onClick={() => setAsking(true)}>
        {words.act}
      </button>
      <ConfirmDialog
        open={asking}
        title={words.ask}
        act={words.act}
        back={words.leave}
        onAct={() => void act()}
        onBack={() => setAsking(false)}
      >
        <p>{words.what}</p>
      </ConfirmDialog>
    </>
  );
}
