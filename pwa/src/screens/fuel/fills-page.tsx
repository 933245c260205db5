/** The fill-ups of the vehicle in use: unusual patterns, a chart, and each of them. */

import { EXPANDED_UNCERTAINTY } from "../../chemistry/sensor";
import { labels } from "../../i18n";
import { count, list } from "../../i18n/format";
import { type Drift, driftsOf } from "../../model/fill-ups";
import type { FillRow } from "../../rows/fill";
import type { Vehicles } from "../../rows/vehicle";
import { inUse } from "../../rows/vehicle";
import { useStored } from "../../state/hooks";
import { to } from "../../state/router";
import { listFills } from "../../store/fills";
import { Chart } from "../../widgets/chart";
import type { ChartPoint } from "../../widgets/chart-scale";
import { Waiting } from "../../widgets/waiting";
import { vehicleName } from "../shared/vehicle-name";
import { differenceOf, FillItem } from "./fill-item";

export function FillsPage({ vehicles }: { vehicles: Vehicles }) {
  const words = labels.fillUps;
  const row = inUse(vehicles);
  const id = row?.id ?? "";
  const fills = useStored(() => listFills(id), ["fills"], [id]);
  if (!fills) return <Waiting word={labels.fuel.loading} />;
  const newest = fills.toReversed();
  return (
    <article class="form">
      <header class="head">
        <h1>{words.title}</h1>
        {row && vehicles.rows.length > 1 && <p class="quiet">{vehicleName(row, vehicles.rows)}</p>}
      </header>
      {driftsOf(fills).map((drift) => (
        <p key={drift.name} class="warning" role="status">
          {driftWords(drift)}
        </p>
      ))}
      <Course fills={fills} />
      {fills.length === 0 && <p>{words.none}</p>}
      <ul class="row-list">
        {newest.map((fill) => (
          <li key={fill.id}>
            <FillItem fill={fill} />
          </li>
        ))}
      </ul>
      <div class="buttons">
        <a class="button main" href={to("fuel", "fill")}>
          {words.enter}
        </a>
        <a class="button plain" href={to("fuel")}>
          {labels.fuel.back}
        </a>
      </div>
    </article>
  );
}

/** The tank's expected content and the sensor's reading, over time. */
function Course({ fills }: { fills: readonly FillRow[] }) {
  const words = labels.fillUps;
  const points = fills.flatMap(pointsOf);
  if (points.length === 0) return null;
  return (
    <section class="field">
      <Chart name={words.chart(count(fills.length, words.one, words.many))} unit="%" points={points} />
      <p class="hint">{words.key}</p>
    </section>
  );
}

function pointsOf({ filled_at, after, sensed }: FillRow): ChartPoint[] {
  const at = Date.parse(filled_at);
  const { content, expanded_uncertainty: spread } = after;
  return [
    ...(content === null || spread === null ? [] : [{ at, value: content, spread }]),
    ...(sensed === null ? [] : [{ at, value: sensed, spread: EXPANDED_UNCERTAINTY, second: true }]),
  ];
}

function driftWords({ kind, name, found }: Drift): string {
  const words = labels.fillUps;
  return words.drift[kind](count(found.length, words.time, words.times), list(found.map(differenceOf)), name);
}
