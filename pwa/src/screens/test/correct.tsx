/** `#/test/correct/ID`: a saved test on a separate sheet, to be corrected. The run sheet stays as it is. */

import { useMemo } from "preact/hooks";
import { labels } from "../../i18n";
import { withUncertainty } from "../../i18n/format";
import type { OwnTest } from "../../rows/test";
import { useStored } from "../../state/hooks";
import { go, to } from "../../state/router";
import { correctTest } from "../../store/correct";
import { correctionKey } from "../../store/drafts";
import { identity } from "../../store/identity";
import { loadSettings } from "../../store/settings";
import { isBy, readTest } from "../../store/tests";
import { listTubes } from "../../store/tubes";
import { Missing } from "../../widgets/missing";
import { offerUndo } from "../../widgets/undo";
import { Waiting } from "../../widgets/waiting";
import { correctionOf } from "./correction";
import { Sheet } from "./sheet";
import { useDraft } from "./use-draft";

export default function Correct({ id }: { id: string }) {
  const found = useStored(async () => ({ row: await readTest(id), who: await identity() }), ["settings"], [id]);
  if (found === undefined) return <Waiting word={labels.test.loading} />;
  const { row, who } = found;
  if (row === undefined || row.retracted || !isBy(row, who.contributor)) {
    return <Missing title={labels.test.correct.not} back={labels.log.page.back} place="log" />;
  }
  return <Correcting row={row} />;
}

function Correcting({ row }: { row: OwnTest }) {
  const words = labels.test.correct;
  const place = useMemo(
    () => ({
      key: correctionKey(row.id),
      fresh: async () => correctionOf(row, await listTubes(), await loadSettings()),
    }),
    [row.id],
  );
  const { draft, change, discard, saved, unsaved } = useDraft(place);
  if (!draft) return <Waiting word={labels.test.loading} />;
  const back = () => go(["log", row.id], true);
  const former = withUncertainty(row.test.content, row.test.expanded_uncertainty);
  return (
    <>
      <header class="head">
        <h1>{words.title}</h1>
        <p class="quiet">{words.lead(former)}</p>
      </header>
      {unsaved && (
        <p class="fault" role="alert">
          {labels.test.saveFault}
        </p>
      )}
      <Sheet draft={draft} change={change} saved={saved} save={correctTest} onSaved={back} />
      <div class="leaf buttons">
        <a class="button" href={to("log", row.id)}>
          {words.later}
        </a>
        <button
          type="button"
          class="plain"
          onClick={() => {
            offerUndo(labels.parts.undo.sheet, discard());
            void saved().then(back);
          }}
        >
          {words.discard}
        </button>
      </div>
    </>
  );
}
