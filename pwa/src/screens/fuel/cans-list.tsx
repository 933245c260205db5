/** The list of cans. */

import { labels } from "../../i18n";
import { day, inLine, volume } from "../../i18n/format";
import type { CanRow } from "../../rows/can";
import { useNow } from "../../state/hooks";
import { to } from "../../state/router";
import { settings } from "../../state/signals";
import { CautionBox } from "../../widgets/caution-box";
import { Reading } from "../../widgets/reading";
import { chosen } from "../../widgets/side-by-side";
import { TubeGlyph } from "../../widgets/tube-glyph";
import { dueOf, isTyped } from "./can-age";

export function CansList({ cans }: { cans: readonly CanRow[] }) {
  const words = labels.fuel.cans;
  const now = useNow(60_000);
  const filled = cans.filter((can) => can.emptied_at === null);
  const empty = cans.filter((can) => can.emptied_at !== null);
  return (
    <section class="leaf cans" aria-labelledby="cans">
      <h2 id="cans">{words.title}</h2>
      {filled.length === 0 && <p>{words.none}</p>}
      {filled.length > 0 && (
        <ul class="row-list">
          {filled.map((can) => (
            <li key={can.id}>
              <CanLine can={can} now={now} />
            </li>
          ))}
        </ul>
      )}
      <a class="button" href={to("fuel", "can", "new")}>
        {words.add}
      </a>
      {empty.length > 0 && (
        <details class="more">
          <summary>{words.emptiedList}</summary>
          <ul class="row-list">
            {empty.map((can) => (
              <li key={can.id}>
                <CanLine can={can} now={now} />
              </li>
            ))}
          </ul>
        </details>
      )}
      {filled.length > 0 && <p class="hint">{words.falls}</p>}
      <CautionBox title={labels.fuel.can.cautionTitle} points={[labels.fuel.can.caution]} />
    </section>
  );
}

function CanLine({ can, now }: { can: CanRow; now: Date }) {
  const words = labels.fuel.cans;
  const empty = can.emptied_at !== null;
  return (
    <a class="row" href={to("fuel", "can", can.id)} {...chosen("fuel", "can", can.id)}>
      <TubeGlyph content={empty ? null : can.content} uncertainty={can.expanded_uncertainty} silent />
      <span class="row-main">
        <span class="row-name">{can.name}</span>
        <span class="row-note">
          {empty
            ? words.emptied
            : inLine([words.left(volume(can.volume, settings.value)), words.filled(day(can.filled_at))])}
        </span>
        {!empty && <DueSign can={can} now={now} />}
      </span>
      <span class="row-end">
        {!empty &&
          (can.content === null ? (
            <span class="row-note">{words.untested}</span>
          ) : (
            <>
              <Reading content={can.content} uncertainty={can.expanded_uncertainty} />
              {isTyped(can) && <span class="row-note">{labels.fuel.can.typed}</span>}
            </>
          ))}
      </span>
    </a>
  );
}

export function DueSign({ can, now }: { can: CanRow; now: Date }) {
  const words = labels.fuel.cans;
  const due = dueOf(can, now);
  if (due.state === "later") return <span class="row-note">{words.dueOn(day(due.on))}</span>;
  return (
    <span class="sign" data-state="fault">
      {due.state === "humid" ? words.dueHumid : words.due}
    </span>
  );
}
