/** A label to print and stick on a can: its content, the uncertainty, the date, and the cautions. */

import { useState } from "preact/hooks";
import { labels } from "../../i18n";
import { day, withUncertainty } from "../../i18n/format";
import type { CanRow } from "../../rows/can";
import { useNow, useStored } from "../../state/hooks";
import { addressOf, to } from "../../state/router";
import { readSource } from "../../store/sources";
import { SwitchField } from "../../widgets/fields";
import { QrCode } from "../../widgets/lazy-qr";
import { dueOf, isTyped } from "./can-age";

export function CanLabel({ can }: { can: CanRow }) {
  const words = labels.fuel.label;
  const [coded, setCoded] = useState(false);
  const source = can.source;
  const name = useStored(
    async () => (source === null ? "" : ((await readSource(source))?.source.name ?? "")),
    ["sources", "merged"],
    [source],
  );
  return (
    <>
      <header class="head screen-only">
        <h1>{words.title}</h1>
        <p class="quiet">{words.hint}</p>
      </header>
      <Sticker can={can} source={name ?? ""} code={coded && source ? addressOf("source", source) : null} />
      <div class="form screen-only">
        {source && <SwitchField label={words.coded} checked={coded} onChecked={setCoded} />}
        <div class="buttons">
          <button type="button" class="main" onClick={() => print()}>
            {words.print}
          </button>
          <a class="button plain" href={to("fuel", "can", can.id)}>
            {labels.common.back}
          </a>
        </div>
      </div>
    </>
  );
}

interface StickerProps {
  can: CanRow;
  source: string;
  code: string | null;
}

function Sticker({ can, source, code }: StickerProps) {
  const words = labels.fuel.label;
  const due = dueOf(can, useNow(60_000));
  const known = can.content !== null && can.expanded_uncertainty !== null;
  return (
    <section class="sticker" aria-label={words.title}>
      <p class="sticker-name">{can.name}</p>
      <p class="sticker-content">
        {known
          ? words.content(withUncertainty(can.content ?? Number.NaN, can.expanded_uncertainty ?? Number.NaN))
          : words.contentUnknown}
      </p>
      {isTyped(can) && <p>{labels.fuel.can.typed}</p>}
      {known && <p class="hint">{words.coverage}</p>}
      <dl class="pairs">
        {source && <Pair term={words.source} value={source} />}
        <Pair term={words.filled} value={day(can.filled_at)} />
        {can.tested_at && <Pair term={words.tested} value={day(can.tested_at)} />}
        <Pair term={words.retest} value={due.state === "later" ? day(due.on) : words.retestNow} />
      </dl>
      <p class="sticker-caution">{words.caution}</p>
      <ul>
        {words.cautions.map((one) => (
          <li key={one}>{one}</li>
        ))}
      </ul>
      {code && <QrCode text={code} name={labels.sources.code.name(source)} />}
    </section>
  );
}

function Pair({ term, value }: { term: string; value: string }) {
  return (
    <div>
      <dt>{term}</dt>
      <dd>{value}</dd>
    </div>
  );
}
