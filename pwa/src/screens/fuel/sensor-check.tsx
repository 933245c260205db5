/** The car's fuel sensor compared with the expected content of the tank. */

import { useState } from "preact/hooks";
import type { Part } from "../../chemistry/blend";
import {
  compare,
  content_of_frequency,
  EXPANDED_UNCERTAINTY,
  frequency_of_content,
  temperature_of_pulse,
} from "../../chemistry/sensor";
import { labels } from "../../i18n";
import { number, temperature, withUncertainty } from "../../i18n/format";
import { partOf, tankPart } from "../../model/tank";
import type { VehicleRow } from "../../rows/vehicle";
import { to } from "../../state/router";
import { settings } from "../../state/signals";
import { NumberField } from "../../widgets/number-field";
import { signed } from "../shared/result/summaries";
import { EMPTY_ADDED } from "./added-fields";
import { AskedTank } from "./asked-tank";
import { SensedFill } from "./sensed-fill";
import { SensorField } from "./sensor-field";

const HERTZ = "Hz";

export function SensorCheck({ tank }: { tank: VehicleRow | undefined }) {
  const words = labels.fuel.sensor;
  const [asked, setAsked] = useState(EMPTY_ADDED);
  const entered = tankPart(tank);
  const known = entered && entered.volume > 0 ? entered : null;
  // The volume does not matter to a sensor.
  const part = known ?? partOf(1, asked.content, asked.uncertainty);
  return (
    <div class="form">
      <header class="head">
        <h1>{words.title}</h1>
      </header>
      {!known && <AskedTank asked={asked} onAsked={setAsked} />}
      {part && <Against part={part} vehicle={known && tank ? tank.id : null} />}
      <FuelTemperature />
      <a class="button" href={to("fuel", "heel")}>
        {words.heel}
      </a>
      <a class="button plain" href={to("fuel")}>
        {labels.fuel.back}
      </a>
    </div>
  );
}

interface AgainstProps {
  part: Part;
  /** The tank's vehicle; null: the content was typed, for no vehicle. */
  vehicle: string | null;
}

/** The expected and the actual reading of the sensor. */
function Against({ part, vehicle }: AgainstProps) {
  const words = labels.fuel.sensor;
  const [frequency, setFrequency] = useState<number | null>(null);
  const { content, expanded_uncertainty } = part;
  const expected = compare(content, expanded_uncertainty, content).expanded_uncertainty;
  return (
    <>
      <dl class="pairs">
        <div>
          <dt>{words.should}</dt>
          <dd>
            {withUncertainty(content, expected)}
            <small>{withUncertainty(frequency_of_content(content), expected, HERTZ)}</small>
          </dd>
        </div>
      </dl>
      <p class="hint">{words.shouldHint}</p>
      <SensorField expected={content} onFrequency={setFrequency} />
      {frequency !== null && <Verdict sensed={content_of_frequency(frequency)} part={part} />}
      {frequency !== null && vehicle && <SensedFill vehicle={vehicle} sensed={content_of_frequency(frequency)} />}
    </>
  );
}

/** sensed: the sensor's reading, %. */
function Verdict({ sensed, part }: { sensed: number; part: Part }) {
  const words = labels.fuel.sensor;
  const found = compare(part.content, part.expanded_uncertainty, sensed);
  const sentence = found.agree ? words.agree : words.disagree;
  return (
    <section class="field" aria-label={words.compared}>
      <dl class="pairs">
        <div>
          <dt>{words.predicted}</dt>
          <dd>{withUncertainty(part.content, part.expanded_uncertainty)}</dd>
        </div>
        <div>
          <dt>{words.sensed}</dt>
          <dd>{withUncertainty(sensed, EXPANDED_UNCERTAINTY)}</dd>
        </div>
      </dl>
      <p class={found.agree ? undefined : "warning"} role="status">
        {sentence(signed(found.difference), number(found.expanded_uncertainty, 1))}
      </p>
    </section>
  );
}

function FuelTemperature() {
  const words = labels.fuel.sensor;
  const [pulse, setPulse] = useState<number | null>(null);
  return (
    <>
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
      {pulse !== null && (
        <p role="status">{words.temperature(temperature(temperature_of_pulse(pulse), settings.value, 0))}</p>
      )}
    </>
  );
}
