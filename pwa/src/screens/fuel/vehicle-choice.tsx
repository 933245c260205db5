/** Which vehicle is in use: the tank, the sensor and the minimum on all screens are its own. */

import { labels } from "../../labels";
import { ChoiceRow } from "../../parts/choice-row";
import { to } from "../../router";
import { inUse, type Vehicles } from "../../store/vehicle-row";
import { putInUse } from "../../store/vehicles";
import { vehicleName } from "../vehicle-name";

export function VehicleChoice({ vehicles }: { vehicles: Vehicles }) {
  const words = labels.vehicles;
  const { rows } = vehicles;
  if (rows.length < 2) return null;
  return (
    <ChoiceRow
      legend={words.choose}
      value={inUse(vehicles)?.id ?? null}
      onValue={(id) => void putInUse(id)}
      options={rows.map((row) => ({ value: row.id, label: vehicleName(row, rows) }))}
    />
  );
}

/** any: there is one whose details can be changed. */
export function VehicleLinks({ any }: { any: boolean }) {
  const words = labels.vehicles;
  return (
    <p class="vehicle-links">
      {any && (
        <a class="button plain" href={to("fuel", "vehicle")}>
          {words.change}
        </a>
      )}
      <a class="button plain" href={to("fuel", "vehicle", "new")}>
        {words.add}
      </a>
    </p>
  );
}
