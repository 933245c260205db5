/** Where a can was that is no longer in the ledger. */

import { labels } from "../../labels";
import { to } from "../../router";

export function NoCan() {
  return (
    <div class="form">
      <h1>{labels.fuel.can.missing}</h1>
      <a class="button" href={to("fuel")}>
        {labels.fuel.back}
      </a>
    </div>
  );
}
