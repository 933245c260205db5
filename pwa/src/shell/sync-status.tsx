/** One line: what is not sent yet, and when the server last answered. It reports the last attempt, not a guess. */

import { labels } from "../i18n";
import { ago, count, inLine } from "../i18n/format";
import { useNow } from "../state/hooks";
import { to } from "../state/router";
import { server } from "../state/signals";

export function SyncStatus() {
  const now = useNow(30_000);
  const { known, busy, unsent, parked, succeeded_at, trouble } = server.value;
  const { common } = labels;
  const records = (n: number) => count(n, common.record, common.records);
  const unanswered = unsent - parked;
  const last = succeeded_at === null ? common.neverExchanged : common.exchanged(ago(succeeded_at, now));
  const said = [
    ...(unanswered > 0 ? [common.unsent(records(unanswered))] : []),
    ...(trouble !== null ? [common.troubled(common.trouble[trouble] ?? trouble)] : []),
    last,
  ];
  return (
    <footer class="standing">
      <p>{!known ? "\u00a0" : busy ? common.exchanging : inLine(said)}</p>
      {parked > 0 && (
        <p>
          {common.parked(records(parked))} · <a href={to("log")}>{common.parkedLook}</a>
        </p>
      )}
    </footer>
  );
}
