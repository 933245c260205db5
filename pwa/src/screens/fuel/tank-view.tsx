/** What is in the tank, and what follows from it. */

import { ago, volume } from "../../format";
import { labels } from "../../labels";
import { settings } from "../../live";
import { Reading } from "../../parts/reading";
import { TubeGlyph } from "../../parts/tube-glyph";
import { to } from "../../router";
import type { Tank, VehicleRow } from "../../store/schema";
import { tankPart } from "../../tank";
import { useNow } from "../../use";
import { EngineList } from "./engine-list";

export function TankView({ tank }: { tank: VehicleRow | undefined }) {
  const words = labels.fuel.tank;
  const now = useNow(60_000);
  if (!tank || (tank.volume === null && tank.content === null)) {
    return (
      <section class="leaf" aria-labelledby="tank">
        <h2 id="tank">{words.title}</h2>
        <div class="empty">
          <TubeGlyph content={null} uncertainty={null} size="medium" silent />
          <p>{words.empty}</p>
        </div>
        <a class="button main" href={to("fuel", "tank")}>
          {words.enter}
        </a>
      </section>
    );
  }
  const part = tankPart(tank);
  return (
    <section class="leaf" aria-labelledby="tank">
      <h2 id="tank">{words.title}</h2>
      <div class="source-head">
        <TubeGlyph content={tank.content} uncertainty={tank.expanded_uncertainty} size="medium" silent />
        <div>
          <Reading content={tank.content} uncertainty={tank.expanded_uncertainty} size="large" />
          <p class="quiet">
            {holding(tank)}, {words.since(ago(tank.changed_at, now))}
          </p>
        </div>
      </div>
      {!part && <p>{words.contentUnknown}</p>}
      <div class="buttons">
        <a class="button" href={to("fuel", "tank")}>
          {words.change}
        </a>
        {part && (
          <a class="button" href={to("fuel", "reach")}>
            {words.reach}
          </a>
        )}
        {tank.sensor && part && part.volume > 0 && (
          <a class="button" href={to("fuel", "sensor")}>
            {words.sensor}
          </a>
        )}
        {!part && (
          <a class="button" href={to("fuel", "heel")}>
            {labels.fuel.sensor.heel}
          </a>
        )}
      </div>
      {part && part.volume > 0 && <EngineList content={part.content} uncertainty={part.expanded_uncertainty} />}
    </section>
  );
}

function holding(tank: Tank): string {
  const inside = tank.volume === null ? labels.parts.none : volume(tank.volume, settings.value);
  return tank.capacity === null ? inside : labels.fuel.tank.holds(inside, volume(tank.capacity, settings.value));
}
