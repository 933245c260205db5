/** Says that the phone's clock is off, where times are about to be written. */

import { isOff } from "../clock";
import { span } from "../format";
import { labels } from "../labels";
import { clockBehind } from "../live";

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
