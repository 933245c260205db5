/** The way out if a broken version of the app is stuck on the phone. */

import { useState } from "preact/hooks";
import { labels } from "../i18n";
import { repair } from "./update";

export function Repair() {
  const [failed, setFailed] = useState(false);
  const act = () => {
    setFailed(false);
    void repair("/").then((done) => setFailed(!done));
  };
  return (
    <div class="form">
      <h1>{labels.common.repairTitle}</h1>
      <p>{labels.common.repairBody}</p>
      {failed && (
        <p class="fault" role="alert">
          {labels.common.repairOffline}
        </p>
      )}
      <button type="button" class="main" onClick={act}>
        {labels.common.repairAct}
      </button>
    </div>
  );
}
