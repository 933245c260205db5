/** One can: what is in it, and what to do with it. */

import { useState } from "preact/hooks";
import { labels } from "../../i18n";
import { ago, day, inLine, pair, volume } from "../../i18n/format";
import { canAfter } from "../../model/tank";
import type { CanRow } from "../../rows/can";
import { useNow, useStored } from "../../state/hooks";
import { go, to } from "../../state/router";
import { settings } from "../../state/signals";
import { dropCan, listCans, saveCan } from "../../store/cans";
import { readSource } from "../../store/sources";
import { ActButton } from "../../widgets/act-button";
import { Reading } from "../../widgets/reading";
import { TubeGlyph } from "../../widgets/tube-glyph";
import { offerUndo } from "../../widgets/undo";
import { isNewer, isOfCan, isTyped } from "./can-age";
import { CanForm } from "./can-form";
import { DueSign } from "./cans-list";
import { testLine } from "./test-line";
import { VolumeField } from "./volume-field";

export function CanPage({ can }: { can: CanRow }) {
  const words = labels.fuel.can;
  const now = useNow(60_000);
  const [doing, setDoing] = useState<"nothing" | "editing" | "taking">("nothing");
  const stop = () => setDoing("nothing");
  if (doing === "editing") return <CanForm can={can} number={1} onSaved={stop} onBack={stop} />;
  const filled = can.emptied_at === null;
  return (
    <article class="form">
      <p>
        <a class="button plain" href={to("fuel")}>
          {labels.fuel.back}
        </a>
      </p>
      <header class="source-head">
        <TubeGlyph content={filled ? can.content : null} uncertainty={can.expanded_uncertainty} size="medium" silent />
        <div class="head">
          <h1>{can.name}</h1>
          {can.content === null ? (
            <p>{labels.fuel.cans.untested}</p>
          ) : (
            <Reading content={can.content} uncertainty={can.expanded_uncertainty} />
          )}
          {isTyped(can) && <p class="sign">{words.typed}</p>}
          <p>
            {inLine([
              filled ? labels.fuel.cans.left(volume(can.volume, settings.value)) : labels.fuel.cans.emptied,
              labels.fuel.cans.filled(day(can.filled_at)),
            ])}
          </p>
          {filled && (
            <p>
              <DueSign can={can} now={now} />
            </p>
          )}
          {can.opened_humid_at && <p class="hint">{words.humidSaid(ago(can.opened_humid_at, now))}</p>}
        </div>
      </header>
      {filled && can.source && <NewerTest can={can} source={can.source} />}
      {filled && doing === "taking" && <TakeOut can={can} onDone={stop} />}
      {filled && doing !== "taking" && (
        <div class="buttons">
          <button type="button" onClick={() => setDoing("taking")}>
            {words.take}
          </button>
          <button type="button" onClick={() => void empty(can)}>
            {words.empty}
          </button>
          {can.opened_humid_at === null && (
            <button type="button" onClick={() => void saveCan({ ...can, opened_humid_at: new Date().toISOString() })}>
              {words.humid}
            </button>
          )}
          {can.source && (
            <a class="button" href={to("test", "with", can.source, "can")}>
              {words.retestAct}
            </a>
          )}
        </div>
      )}
      <div class="buttons">
        <button type="button" onClick={() => setDoing("editing")}>
          {words.edit}
        </button>
        {filled && (
          <a class="button" href={to("fuel", "can", can.id, "label")}>
            {labels.fuel.label.title}
          </a>
        )}
        <button type="button" class="plain" onClick={() => void remove(can)}>
          {words.remove}
        </button>
      </div>
    </article>
  );
}

async function empty(can: CanRow): Promise<void> {
  await saveCan(canAfter(can, can.volume, new Date()));
  offerUndo(pair(can.name, labels.fuel.cans.emptied), () => void saveCan(can));
}

async function remove(can: CanRow): Promise<void> {
  await dropCan(can.id);
  go(["fuel"], true);
  offerUndo(labels.parts.undo.can(can.name), () => void saveCan(can));
}

/** A later own test of a can from the same source, and of no other can: one tap gives this can its content. */
function NewerTest({ can, source }: { can: CanRow; source: string }) {
  const words = labels.fuel.can;
  const page = useStored(() => readSource(source), ["own_tests"], [source]);
  const others = useStored(listCans, ["cans"])?.filter((one) => one.id !== can.id);
  const newer =
    others &&
    page?.tests.find(
      (test) => test.sampled === "can" && isOfCan(test, can.filled_at, others) && isNewer(test.sampled_at, can),
    );
  if (!newer) return null;
  const { id, content, expanded_uncertainty, sampled_at } = newer;
  const take = () =>
    saveCan({ ...can, content, expanded_uncertainty, test: id, tested_at: sampled_at, opened_humid_at: null });
  return (
    <div class="field">
      <p>{words.newer(testLine(newer))}</p>
      <button type="button" onClick={() => void take()}>
        {words.newerAct}
      </button>
    </div>
  );
}

function TakeOut({ can, onDone }: { can: CanRow; onDone: () => void }) {
  const words = labels.fuel.can;
  const [taken, setTaken] = useState<number | null>(null);
  const act = async () => {
    if (taken === null) return;
    await saveCan(canAfter(can, taken, new Date()));
    onDone();
  };
  return (
    <div class="form">
      <VolumeField label={words.taken} value={taken} onValue={setTaken} most={can.volume} />
      <div class="buttons">
        <ActButton main missing={taken ? null : words.takenMissing} onAct={() => void act()}>
          {words.takeAct}
        </ActButton>
        <button type="button" class="plain" onClick={onDone}>
          {words.cancel}
        </button>
      </div>
    </div>
  );
}
