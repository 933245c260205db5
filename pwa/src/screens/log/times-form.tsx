/** When a saved test was sampled and tested: correcting this makes a new revision. */

import { useState } from "preact/hooks";
import { labels } from "../../i18n";
import { rfc3339, span } from "../../i18n/format";
import { fromLocalField, toLocalField } from "../../i18n/local-time";
import { isOff } from "../../model/clock";
import type { OwnTest } from "../../rows/test";
import { clockBehind } from "../../state/signals";
import { correctTimes, type Times } from "../../store/times";
import { ActButton } from "../../widgets/act-button";
import { TextField } from "../../widgets/fields";
import { follow, latestNow, moved, type TimesFault, timesFault } from "./times";

export function TimesForm({ row }: { row: OwnTest }) {
  const words = labels.log.times;
  const behind = row.clock_behind ?? null;
  if (!isOff(behind)) {
    return (
      <section class="leaf">
        <details class="more">
          <summary>{words.title}</summary>
          <Fields row={row} behind={null} />
        </details>
      </section>
    );
  }
  const off = span(Math.abs(behind));
  return (
    <section class="leaf" aria-labelledby="times">
      <h2 id="times">{words.title}</h2>
      <p class="warning">
        <span>{behind > 0 ? words.behind(off) : words.ahead(off)}</span>
      </p>
      <Fields row={row} behind={behind} />
    </section>
  );
}

function Fields({ row, behind }: { row: OwnTest; behind: number | null }) {
  const words = labels.log.times;
  const [times, setTimes] = useState<Times>(row.test);
  const now = latestNow(Date.now(), clockBehind.value);
  const fault = timesFault(times, now);
  const isSame = times.sampled_at === row.test.sampled_at && times.tested_at === row.test.tested_at;
  const faultOf = (field: TimesFault["field"]) => (fault?.field === field ? words.faults[fault.code] : undefined);
  return (
    <form
      class="form"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void correctTimes(row.id, { sampled_at: times.sampled_at, tested_at: times.tested_at });
      }}
    >
      {behind !== null && (
        <button type="button" onClick={() => setTimes(moved(row.test, behind))}>
          {(behind > 0 ? words.later : words.earlier)(span(Math.abs(behind)))}
        </button>
      )}
      <TimeField
        label={words.sampled}
        at={times.sampled_at}
        onAt={(sampled_at) => setTimes(follow(times, sampled_at))}
        fault={faultOf("sampled_at")}
      />
      <TimeField
        label={words.tested}
        at={times.tested_at}
        onAt={(tested_at) => setTimes({ ...times, tested_at })}
        fault={faultOf("tested_at")}
      />
      <p class="hint">{words.hint}</p>
      <ActButton missing={fault ? words.faults[fault.code] : isSame ? words.same : null}>{words.save}</ActButton>
    </form>
  );
}

interface TimeFieldProps {
  label: string;
  at: string;
  onAt: (at: string) => void;
  fault: string | undefined;
}

/** An incomplete date is not a time yet: until it is complete, the time stays as it was. */
function TimeField({ label, at, onAt, fault }: TimeFieldProps) {
  const typed = (text: string) => {
    const date = fromLocalField(text);
    if (date !== null && text !== toLocalField(new Date(at))) onAt(rfc3339(date));
  };
  return (
    <TextField
      label={label}
      type="datetime-local"
      value={toLocalField(new Date(at))}
      onValue={typed}
      maxLength={20}
      fault={fault}
    />
  );
}
