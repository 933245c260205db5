/** The tests made in a tube: whether they were computed with current data, and recomputing them. */

import { useState } from "preact/hooks";
import { labels } from "../../i18n";
import { count, number, withUncertainty } from "../../i18n/format";
import { useStored } from "../../state/hooks";
import { usePage } from "../../state/page";
import type { Recomputation } from "../../store/facts";
import { previewRecomputation, recomputeTests } from "../../store/recompute";
import { signed } from "../shared/result/summaries";
import type { TubeProps } from "./props";

type Phase = { name: "idle" } | { name: "working"; done: number; all: number } | { name: "done"; tests: number };

export function TestsMade({ row }: TubeProps) {
  const words = labels.tubes.tests;
  const { compute } = usePage();
  const [phase, setPhase] = useState<Phase>({ name: "idle" });
  const act = async () => {
    setPhase({ name: "working", done: 0, all: 0 });
    try {
      const found = await recomputeTests(row.id, new Date(), compute, (done, all) =>
        setPhase({ name: "working", done, all }),
      );
      setPhase({ name: "done", tests: found.changed });
    } catch (fault) {
      // The rest is offered again.
      setPhase({ name: "idle" });
      throw fault;
    }
  };
  if (phase.name === "working") {
    return (
      <section class="leaf">
        <h2>{words.title}</h2>
        <p role="status">{words.working(number(phase.done, 0), number(phase.all, 0))}</p>
        <progress value={phase.done} max={Math.max(1, phase.all)} />
      </section>
    );
  }
  return (
    <section class="leaf">
      <h2>{words.title}</h2>
      <div role="status" class="tube-said">
        {phase.name === "done" && <p>{words.done(testsText(phase.tests))}</p>}
      </div>
      <Preview tube={row.id} onAct={() => void act()} />
    </section>
  );
}

function Preview({ tube, onAct }: { tube: string; onAct: () => void }) {
  const words = labels.tubes.tests;
  const preview = useStored(() => previewRecomputation(tube), ["own_tests", "tubes"], [tube]);
  if (preview === undefined) return <p class="hint">{words.counting}</p>;
  const { made, changed, shared, impossible, largest } = preview;
  if (made === 0) return <p class="hint">{words.none}</p>;
  return (
    <>
      {changed === 0 && impossible === 0 && <p class="hint">{words.all(testsText(made))}</p>}
      {changed > 0 && largest !== null && (
        <>
          <p class="warning">
            {words.some(number(changed, 0), testsText(made))} {largestText(largest)}
            {shared > 0 && ` ${words.shared(number(shared, 0))}`}
          </p>
          <button type="button" class="main" onClick={onAct}>
            {words.act(testsText(changed))}
          </button>
          <p class="hint">{words.hint}</p>
        </>
      )}
      {impossible > 0 && <p class="hint">{words.impossible(testsText(impossible))}</p>}
    </>
  );
}

function largestText({ before, after, change }: NonNullable<Recomputation["largest"]>): string {
  const words = labels.tubes.tests;
  const was = withUncertainty(before.content, before.expanded_uncertainty);
  const is = withUncertainty(after.content, after.expanded_uncertainty);
  const points = signed(change);
  return points === number(0) ? words.onlyUncertainty(was, is) : words.largest(points, was, is);
}

function testsText(tests: number): string {
  return count(tests, labels.common.test, labels.common.tests);
}
