/** The car's fuel sensor against what the tank should hold. */

import { useState } from "preact/hooks";
import {
  compare,
  content_of_frequency,
  frequency_of_content,
  signal,
  temperature_of_pulse,
} from "../../chemistry/sensor";
import { number, temperature, withUncertainty } from "../../format";
import { labels } from "../../labels";
import { settings } from "../../live";
import { ChoiceRow } from "../../parts/choice-row";
import { NumberField } from "../../parts/number-field";
import { to } from "../../router";
import type { Tank } from "../../store/schema";
import { tankPart } from "./tank-state";

type As = "percent" | "frequency";

const KINDS: readonly As[] = ["percent", "frequency"];
const HERTZ = "Hz";

export function SensorCheck({ tank }: { tank: Tank | undefined }) {
  const words = labels.fuel.sensor;
  const [as, setAs] = useState<As>("percent");
  const [shown, setShown] = useState<number | null>(null);
  const [pulse, setPulse] = useState<number | null>(null);
  const part = tankPart(tank);
  if (!part || part.volume === 0) {
    return (
      <>
        <p>{labels.fuel.tank.contentUnknown}</p>
        <a class="button" href={to("fuel", "tank")}>
          {labels.fuel.tank.enter}
        </a>
      </>
    );
  }
  const { content, expanded_uncertainty } = part;
  const expected = compare(content, expanded_uncertainty, content);
  return (
    <div class="form">
      <header class="head">
        <h1>{words.title}</h1>
      </header>
      <dl class="pairs">
        <div>
          <dt>{words.should}</dt>
          <dd>
            {withUncertainty(content, expected.expanded_uncertainty)}
            <small>{withUncertainty(frequency_of_content(content), expected.expanded_uncertainty, HERTZ)}</small>
          </dd>
        </div>
      </dl>
      <p class="hint">{words.shouldHint}</p>
      <ChoiceRow
        legend={words.askAs}
        value={as}
        onValue={(next) => {
          setAs(next);
          setShown(null);
        }}
        options={KINDS.map((value) => ({ value, label: words.as[value] }))}
      />
      <NumberField
        key={as}
        label={words.shows}
        unit={as === "percent" ? "%" : HERTZ}
        value={shown}
        onValue={setShown}
        step={1}
        min={0}
        max={as === "percent" ? 100 : 250}
        offered={Math.round(as === "percent" ? content : frequency_of_content(content))}
      />
      {shown !== null && (
        <Verdict
          frequency={as === "percent" ? frequency_of_content(shown) : shown}
          part={{ content, expanded_uncertainty }}
        />
      )}
      <NumberField
        label={words.pulse}
        unit="ms"
        value={pulse}
        onValue={setPulse}
        step={0.1}
        min={1}
        max={5}
        offered={2.5}
        hint={words.pulseHint}
      />
      {pulse !== null && <p>{words.temperature(temperature(temperature_of_pulse(pulse), settings.value, 0))}</p>}
      <a class="button plain" href={to("fuel")}>
        {labels.fuel.back}
      </a>
    </div>
  );
}

interface VerdictProps {
  /** Hz */
  frequency: number;
  part: { content: number; expanded_uncertainty: number };
}

function Verdict({ frequency, part }: VerdictProps) {
  const words = labels.fuel.sensor;
  const state = signal(frequency);
  if (state !== "normal") return <p class="warning">{words[state]}</p>;
  const found = compare(part.content, part.expanded_uncertainty, content_of_frequency(frequency));
  const sentence = found.agree ? words.agree : words.disagree;
  const text = sentence(number(Math.abs(found.difference), 1), number(found.expanded_uncertainty, 1));
  return (
    <p class={found.agree ? undefined : "warning"} role="status">
      {text}
    </p>
  );
}
