/** Warns that the phone's clock is off, where times are about to be saved. */

import { labels } from "../../i18n";
import { span } from "../../i18n/format";
import { isOff } from "../../model/clock";
import { clockBehind } from "../../state/signals";

export function ClockNotice() {
  const behind = clockBehind.value;
  const words = labels.common.clock;
  if (!isOff(behind)) return null;
  const off = span(Math.abs(behind));
  return (
    <p class="warning" role="status">
      <span>
        {behind > 0 ? words.behind(off) : words.ahead(off)} {words.what}
      </span>
    </p>
  );
}
