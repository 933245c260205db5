/** What a vehicle is called. */

import { labels } from "../../i18n";
import type { VehicleRow } from "../../rows/vehicle";

/** Its name; of one that has none its place among all. */
export function vehicleName(row: VehicleRow, rows: readonly VehicleRow[]): string {
  return row.name || labels.vehicles.offered(rows.indexOf(row) + 1);
}
