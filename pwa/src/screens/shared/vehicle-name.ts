/** The displayed name of a vehicle. */

import { labels } from "../../i18n";
import type { VehicleRow } from "../../rows/vehicle";

/** Its name, or its number if it has none. */
export function vehicleName(row: VehicleRow, rows: readonly VehicleRow[]): string {
  return row.name || labels.vehicles.offered(rows.indexOf(row) + 1);
}
