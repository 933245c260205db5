/** Whether the content is high enough: for the only vehicle, or for each that has a minimum. */

import type { Result } from "../../../chemistry/budget";
import { probability_at_or_above } from "../../../chemistry/meaning";
import { labels } from "../../../i18n";
import { percent } from "../../../i18n/format";
import { settings, vehicles } from "../../../state/signals";
import { likelihood } from "../likelihood";
import { vehicleName } from "../vehicle-name";

export function EnoughView({ found }: { found: Pick<Result, "content" | "expanded_uncertainty"> }) {
  const { rows } = vehicles.value;
  const minimum = settings.value.own_minimum;
  const chance = (asked: number) =>
    likelihood(probability_at_or_above(found.content, found.expanded_uncertainty, asked));
  if (rows.length < 2) {
    return minimum === null ? null : <p>{labels.result.minimum(chance(minimum), percent(minimum, 0))}</p>;
  }
  return (
    <>
      {rows.map(
        (row) =>
          row.minimum !== null && (
            <p key={row.id}>
              {labels.vehicles.enough(vehicleName(row, rows), chance(row.minimum), percent(row.minimum, 0))}
            </p>
          ),
      )}
    </>
  );
}
