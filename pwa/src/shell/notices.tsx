/** Notices everybody must see before continuing: demo data, storage trouble, a new version. */

import { useEffect, useState } from "preact/hooks";
import { labels } from "../i18n";
import { count, withUncertainty } from "../i18n/format";
import { useNow, useStored } from "../state/hooks";
import { usePage } from "../state/page";
import { to } from "../state/router";
import { fault, nearlyFull, server, updateReady } from "../state/signals";
import { isSettling, loadDraft } from "../store/drafts";
import { trouble } from "../store/open";
import { markMovedRead, readMoved } from "../store/renewal";
import { Boundary } from "./boundary";
import { isAtRisk } from "./eviction";
import { takeUpdate } from "./update";

export function Notices() {
  return (
    <header>
      {!isSecureContext && (
        <div class="banner" role="status">
          {labels.common.insecure}
        </div>
      )}
      {server.value.demo && <div class="banner banner-calm">{labels.common.demo}</div>}
      {trouble.value !== null && (
        <div class="banner" role="alert">
          {labels.common.storage[trouble.value]}
          {trouble.value !== "old_tab" && (
            <button type="button" onClick={() => location.reload()}>
              {labels.common.loadAgain}
            </button>
          )}
        </div>
      )}
      {fault.value !== null && (
        <div class="banner" role="alert">
          <span>{labels.common.failed(fault.value)}</span>
          <button
            type="button"
            onClick={() => {
              fault.value = null;
            }}
          >
            {labels.common.understood}
          </button>
        </div>
      )}
      {nearlyFull.value && (
        <div class="banner" role="status">
          {labels.common.storage.full}
          <a class="button" href={to("settings")}>
            {labels.common.storageLook}
          </a>
        </div>
      )}
      {updateReady.value && (
        <Boundary quiet>
          <Update />
        </Boundary>
      )}
      <Boundary quiet>
        <Moved />
      </Boundary>
      <Eviction />
    </header>
  );
}

/** Offered only while no tube is settling; reloads the page on tap, once all entries are on the disk. */
function Update() {
  const { sheets } = usePage();
  const draft = useStored(loadDraft, ["drafts"]);
  const settling = isSettling(draft, useNow(5000));
  return (
    <div class="banner" role="status">
      {labels.common.updateReady}
      {settling ? (
        ` ${labels.common.updateLater}`
      ) : (
        <button type="button" onClick={() => sheets.inTurn(takeUpdate)}>
          {labels.common.updateTake}
        </button>
      )}
    </div>
  );
}

/** Shown until read: why some of the person's own results have changed. */
function Moved() {
  const moved = useStored(readMoved, ["settings"]);
  if (!moved?.largest) return null;
  const { before, after } = moved.largest;
  const words = labels.common.moved;
  return (
    <div class="banner banner-calm" role="status">
      <span>
        {words.what(count(moved.changed, labels.common.test, labels.common.tests))}{" "}
        {words.largest(
          withUncertainty(before.content, before.expanded_uncertainty),
          withUncertainty(after.content, after.expanded_uncertainty),
        )}
      </span>
      <button type="button" onClick={() => void markMovedRead()}>
        {labels.common.understood}
      </button>
    </div>
  );
}

function Eviction() {
  const [shown, setShown] = useState(false);
  useEffect(() => {
    isAtRisk().then(setShown, () => setShown(false));
  }, []);
  if (!shown) return null;
  const { common } = labels;
  const { unsent } = server.value;
  return (
    <div class="banner" role="status">
      <span>
        {common.eviction}
        {unsent > 0 && ` ${common.evictionUnsent(count(unsent, common.record, common.records))}`}
      </span>
      <a class="button" href={to("settings")}>
        {common.evictionSave}
      </a>
      <button type="button" onClick={() => setShown(false)}>
        {common.understood}
      </button>
    </div>
  );
}
