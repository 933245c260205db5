/** The sampling plan of a source: which visits are done, which one is due, and the reminders as a calendar file. */

import { useState } from "preact/hooks";
import { writePlan } from "../../files/plan-file";
import { fileName, saveFile } from "../../files/save";
import { labels } from "../../i18n";
import { day, shortDay } from "../../i18n/format";
import { longerBy, nextVisit, type PlannedVisit, startOf } from "../../model/plan";
import { useNow, useStored } from "../../state/hooks";
import { dropPlan, type PlanPage, readPlan, savePlan } from "../../store/plans";
import { offerUndo } from "../../widgets/undo";
import { PlanForm } from "./plan-form";

export function Plan({ source }: { source: string }) {
  const words = labels.sources.plan;
  const now = useNow(60_000);
  const today = now.toDateString();
  const found = useStored(
    async () => ({ page: await readPlan(source, new Date()) }),
    ["plans", "own_tests", "merged", "sources"],
    [source, today],
  );
  const [editing, setEditing] = useState(false);
  if (!found) return null;
  const { page } = found;
  return (
    <section class="leaf" aria-labelledby="plan">
      <div>
        <h2 id="plan">{words.title}</h2>
        <p class="hint">{words.hint}</p>
      </div>
      {editing ? (
        <PlanForm source={source} plan={page?.plan} onEnd={() => setEditing(false)} />
      ) : page ? (
        <Known page={page} onEdit={() => setEditing(true)} />
      ) : (
        <button type="button" onClick={() => setEditing(true)}>
          {words.begin}
        </button>
      )}
    </section>
  );
}

function Known({ page, onEdit }: { page: PlanPage; onEdit: () => void }) {
  const words = labels.sources.plan;
  const { plan, visits } = page;
  const longer = longerBy(plan, 1);
  const save = () => {
    const now = new Date();
    saveFile(fileName("plan", now, "ics"), "text/calendar;charset=utf-8", writePlan(page, now));
  };
  return (
    <>
      <dl class="pairs">
        {visits.map((visit) => (
          <div key={visit.day}>
            <dt>{day(startOf(visit.day))}</dt>
            <dd>{stateWords(visit)}</dd>
          </div>
        ))}
      </dl>
      {nextVisit(visits) === null ? (
        <p>{words.over}</p>
      ) : (
        <>
          <button type="button" onClick={save}>
            {words.file}
          </button>
          <p class="hint">{words.fileHint}</p>
        </>
      )}
      <div class="buttons">
        {longer && (
          <button type="button" onClick={() => void savePlan(longer)}>
            {words.longer}
          </button>
        )}
        <button type="button" onClick={onEdit}>
          {words.change}
        </button>
        <button type="button" class="plain" onClick={() => void end(page.source)}>
          {words.end}
        </button>
      </div>
    </>
  );
}

async function end(source: string): Promise<void> {
  const gone = await dropPlan(source);
  offerUndo(labels.parts.undo.plan, () => gone.forEach((row) => void savePlan(row)));
}

function stateWords({ state, sampled_at }: PlannedVisit): string {
  const words = labels.sources.plan;
  return sampled_at === null ? words.states[state] : words.done(shortDay(sampled_at));
}
