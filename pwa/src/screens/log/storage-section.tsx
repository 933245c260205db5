/** How much of the phone's storage is used, and what can be freed. */

import { useEffect, useState } from "preact/hooks";
import { labels } from "../../i18n";
import { number } from "../../i18n/format";
import { useStored } from "../../state/hooks";
import { measureStorage, type StorageUse } from "../../state/room";
import { dropSentPhotos } from "../../store/keep";
import { readFact } from "../../store/settings";

const MEGA = 1e6;
const GIGA = 1e9;

function bytes(amount: number): string {
  const words = labels.log.setting;
  return amount < GIGA ? words.megabytes(number(amount / MEGA, 1)) : words.gigabytes(number(amount / GIGA, 1));
}

export function StorageSection() {
  const words = labels.log.setting;
  const [use, setUse] = useState<StorageUse | null>(null);
  const [freed, setFreed] = useState<number | null>(null);
  const persistence = useStored(() => readFact("persistence"), ["settings"]);
  // Measured again after something was freed.
  useEffect(() => {
    measureStorage(navigator.storage).then(setUse, () => setUse(null));
  }, [freed]);
  return (
    <section class="leaf">
      <h2>{words.storage}</h2>
      {use !== null && <p>{words.used(bytes(use.usage), bytes(use.quota))}</p>}
      <p class="hint">{persistence === "granted" ? words.persisted : words.notPersisted}</p>
      <button type="button" onClick={() => void dropSentPhotos(Number.POSITIVE_INFINITY).then(setFreed)}>
        {words.dropPhotos}
      </button>
      {freed !== null && <p role="status">{words.dropped(bytes(freed))}</p>}
    </section>
  );
}
