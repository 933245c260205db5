/** When the visits start, on which day of the week, and for how many weeks. */

import { useState } from "preact/hooks";
import { labels } from "../../i18n";
import { dayOf, firstVisit, isDay, MOST_WEEKS, USUAL_WEEKS, weekdayOf } from "../../model/plan";
import type { PlanRow } from "../../rows/plan";
import { savePlan } from "../../store/plans";
import { SelectField, TextField } from "../../widgets/fields";
import { NumberField } from "../../widgets/number-field";

export interface PlanFormProps {
  source: string;
  plan: PlanRow | undefined;
  onEnd: () => void;
}

export function PlanForm({ source, plan, onEnd }: PlanFormProps) {
  const words = labels.sources.plan;
  const [from, setFrom] = useState(plan?.first_day ?? dayOf(new Date()));
  const [weekday, setWeekday] = useState(String(weekdayOf(from)));
  const [weeks, setWeeks] = useState<number | null>(plan?.weeks ?? USUAL_WEEKS);
  const fault = isDay(from) ? undefined : words.fromFault;
  const save = async (event: Event) => {
    event.preventDefault();
    if (fault || weeks === null) return;
    const first_day = firstVisit(from, Number(weekday));
    await savePlan({ source: plan?.source ?? source, first_day, weeks, made_at: new Date().toISOString() });
    onEnd();
  };
  return (
    <form class="form" noValidate onSubmit={(event) => void save(event)}>
      <TextField label={words.from} type="date" value={from} onValue={setFrom} maxLength={10} fault={fault} />
      <SelectField
        label={words.weekday}
        value={weekday}
        onValue={setWeekday}
        options={words.weekdays.map((label, at) => ({ value: String(at + 1), label }))}
      />
      <NumberField
        label={words.weeks}
        unit={words.weeksUnit}
        value={weeks}
        onValue={setWeeks}
        step={1}
        min={1}
        max={MOST_WEEKS}
        hint={words.weeksHint}
      />
      <div class="buttons">
        <button type="submit" class="main">
          {words.keep}
        </button>
        <button type="button" class="plain" onClick={onEnd}>
          {words.back}
        </button>
      </div>
    </form>
  );
}
