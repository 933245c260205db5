/** What is in the tank, and what follows from it. */

import { labels } from "../../i18n";
import { ago, volume } from "../../i18n/format";
import { tankPart } from "../../model/tank";
import type { Tank, VehicleRow } from "../../rows/vehicle";
import { useNow } from "../../state/hooks";
import { to } from "../../state/router";
import { settings } from "../../state/signals";
import { Reading } from "../../widgets/reading";
import { TubeGlyph } from "../../widgets/tube-glyph";
import { EngineList } from "./engine-list";
import { TankGlyph } from "./tank-glyph";
import { VehicleLinks } from "./vehicle-choice";

export function TankView({ tank }: { tank: VehicleRow | undefined }) {
  const words = labels.fuel.tank;
  const isEntered = tank !== undefined && (tank.volume !== null || tank.content !== null);
  const part = tankPart(tank);
  return (
    <section class="leaf" aria-labelledby="tank">
      <h2 id="tank">{words.title}</h2>
      {isEntered ? <Inside tank={tank} /> : <p>{words.empty}</p>}
      {isEntered && !part && <p>{words.contentUnknown}</p>}
      <div class="buttons">
        <a class={isEntered ? "button" : "button main"} href={to("fuel", "tank")}>
          {isEntered ? words.change : words.enter}
        </a>
        <a class="button" href={to("fuel", "fill")}>
          {labels.fillUps.enter}
        </a>
        {tank && (
          <a class="button" href={to("fuel", "fills")}>
            {labels.fillUps.title}
          </a>
        )}
        <a class="button" href={to("fuel", "reach")}>
          {words.reach}
        </a>
        {tank?.sensor !== false && (
          <a class="button" href={to("fuel", "sensor")}>
            {words.sensor}
          </a>
        )}
        {tank?.sensor !== false && !part && (
          <a class="button" href={to("fuel", "heel")}>
            {labels.fuel.sensor.heel}
          </a>
        )}
        {!part && (
          <a class="button" href={to("fuel", "engine")}>
            {labels.fuel.engine.title}
          </a>
        )}
      </div>
      {part && part.volume > 0 && <EngineList content={part.content} uncertainty={part.expanded_uncertainty} />}
      <VehicleLinks any={tank !== undefined} />
    </section>
  );
}

function Inside({ tank }: { tank: VehicleRow }) {
  const now = useNow(60_000);
  return (
    <div class="source-head">
      <div class="tank-beside">
        <TankGlyph tank={tank} />
        <TubeGlyph content={tank.content} uncertainty={tank.expanded_uncertainty} size="medium" silent />
      </div>
      <div>
        <Reading content={tank.content} uncertainty={tank.expanded_uncertainty} size="large" />
        <p class="quiet">
          {holding(tank)}, {labels.fuel.tank.since(ago(tank.changed_at, now))}
        </p>
      </div>
    </div>
  );
}

function holding(tank: Tank): string {
  const inside = tank.volume === null ? labels.parts.none : volume(tank.volume, settings.value);
  return tank.capacity === null ? inside : labels.fuel.tank.holds(inside, volume(tank.capacity, settings.value));
}
