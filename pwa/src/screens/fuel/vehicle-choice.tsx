/** Which vehicle is in use: tank, sensor and minimum on all screens are its own. */

import { labels } from "../../i18n";
import { inUse, type Vehicles } from "../../rows/vehicle";
import { to } from "../../state/router";
import { putInUse } from "../../store/vehicles";
import { ChoiceRow } from "../../widgets/choice-row";
import { vehicleName } from "../shared/vehicle-name";

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

/** any: there is a vehicle whose details can be changed. */
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
