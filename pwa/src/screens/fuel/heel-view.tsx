/** What was in the tank before, from what the sensor shows now and what was added since. */

import { useState } from "preact/hooks";
import { heel, type Part, possible } from "../../chemistry/blend";
import { content_of_frequency, EXPANDED_UNCERTAINTY } from "../../chemistry/sensor";
import { labels } from "../../i18n";
import { volume as litres, withUncertainty } from "../../i18n/format";
import { partOf, volumeBefore } from "../../model/tank";
import type { Tank } from "../../rows/vehicle";
import { to } from "../../state/router";
import { settings } from "../../state/signals";
import { Reading } from "../../widgets/reading";
import { TubeGlyph } from "../../widgets/tube-glyph";
import { AddedFields, EMPTY_ADDED } from "./added-fields";
import { SensorField } from "./sensor-field";
import { VolumeField } from "./volume-field";

/** %, suggested if the tank's content is unknown. */
const USUAL = 70;
const MOST_ADDED = 3;

export function HeelView({ tank }: { tank: Tank | undefined }) {
  const words = labels.fuel.heel;
  const [frequency, setFrequency] = useState<number | null>(null);
  const [whole, setWhole] = useState(tank?.volume ?? null);
  const [give, setGive] = useState<number | null>(null);
  const [added, setAdded] = useState([EMPTY_ADDED]);

  const parts = added.map((one) => partOf(one.volume, one.content, one.uncertainty)).filter((one) => one !== null);
  const left =
    whole === null
      ? null
      : volumeBefore(
          whole,
          added.map((one) => one.volume),
        );
  const tooMuch = left !== null && left <= 0;
  const complete = frequency !== null && whole !== null && !tooMuch && parts.length === added.length;
  const before = complete
    ? heel(
        {
          volume: whole,
          content: content_of_frequency(frequency),
          expanded_uncertainty: EXPANDED_UNCERTAINTY,
          volume_uncertainty: give ?? 0,
        },
        parts,
      )
    : null;
  return (
    <div class="form">
      <header class="head">
        <h1>{words.title}</h1>
        <p class="quiet">{words.lead}</p>
      </header>
      <SensorField expected={tank?.content ?? USUAL} onFrequency={setFrequency} />
      <div class="form-pair">
        <VolumeField label={words.whole} value={whole} onValue={setWhole} />
        <VolumeField label={words.give} value={give} onValue={setGive} hint={words.giveHint} />
      </div>
      {added.map((one, index) => (
        <AddedFields
          key={index}
          number={index + 1}
          added={one}
          onAdded={(part) => setAdded(added.map((old, at) => (at === index ? { ...old, ...part } : old)))}
          fault={tooMuch && index === 0 ? words.tooMuch : undefined}
        />
      ))}
      {added.length < MOST_ADDED && (
        <button type="button" onClick={() => setAdded([...added, EMPTY_ADDED])}>
          {words.another}
        </button>
      )}
      {before ? <Before before={before} /> : !tooMuch && <p class="hint">{words.missing}</p>}
      <a class="button plain" href={to("fuel")}>
        {labels.fuel.back}
      </a>
    </div>
  );
}

function Before({ before }: { before: Part }) {
  const words = labels.fuel.heel;
  if (!possible(before)) {
    return (
      <p class="warning" role="alert">
        {words.impossible(withUncertainty(before.content, before.expanded_uncertainty))}
      </p>
    );
  }
  return (
    <section class="result" aria-label={words.resultTitle}>
      <div class="result-main">
        <TubeGlyph content={before.content} uncertainty={before.expanded_uncertainty} size="medium" silent />
        <div role="status">
          <p class="quiet">{words.result(litres(before.volume, settings.value))}</p>
          <Reading content={before.content} uncertainty={before.expanded_uncertainty} size="large" />
        </div>
      </div>
      <p class="hint">{words.resultHint}</p>
    </section>
  );
}
