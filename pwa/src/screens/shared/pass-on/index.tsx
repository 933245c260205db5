/** The button that shares a result. What it prepares is loaded on tap: only people who share a result need it. */

import { useState } from "preact/hooks";
import { labels } from "../../../i18n";
import { lazy } from "../../../widgets/lazy";
import type { PassOnProps } from "./prepared";

const Prepared = lazy<PassOnProps>(() => import("./prepared"));

export function PassOn({ test }: PassOnProps) {
  const [shown, setShown] = useState(false);
  if (shown) return <Prepared test={test} />;
  return (
    <button type="button" onClick={() => setShown(true)}>
      {labels.passOn.show}
    </button>
  );
}
