/** What a vehicle is called. */

import { labels } from "../labels";
import type { VehicleRow } from "../store/schema";

/** Its name; of one that has none its place among all. */
export function vehicleName(row: VehicleRow, rows: readonly VehicleRow[]): string {
  return row.name || labels.vehicles.offered(rows.indexOf(row) + 1);
}
