/** The filters of the list of sources, besides the text: each choice is saved for the next visit. */

import { labels } from "../../i18n";
import { distance, number, percent } from "../../i18n/format";
import { type Filters, filtersSet, NO_FILTERS } from "../../model/filters";
import { settings, whereabouts } from "../../state/signals";
import { SelectField, SwitchField } from "../../widgets/fields";

const KM_PER_MILE = 1.609344;
const STEPS = [10, 25, 50, 100];

export interface ListFiltersProps {
  filters: Filters;
  /** Called with the change. */
  onFilters: (change: Partial<Filters>) => void;
}

export function ListFilters({ filters, onFilters }: ListFiltersProps) {
  const words = labels.sources.filters;
  const { own_minimum, distance_unit } = settings.value;
  const count = filtersSet(filters);
  const unit = distance_unit === "mi" ? KM_PER_MILE : 1;
  return (
    <fieldset class="choice">
      <legend>{count === 0 ? words.title : words.set(number(count, 0))}</legend>
      <div class="form">
        <SwitchField
          label={words.untested}
          checked={filters.untested}
          onChecked={(untested) => onFilters({ untested })}
        />
        <SwitchField label={words.changed} checked={filters.changed} onChecked={(changed) => onFilters({ changed })} />
        <SwitchField
          label={words.evidence}
          checked={filters.evidence}
          onChecked={(evidence) => onFilters({ evidence })}
        />
        {own_minimum !== null && (
          <SwitchField
            label={words.minimum(percent(own_minimum, 0))}
            checked={filters.minimum}
            onChecked={(minimum) => onFilters({ minimum })}
          />
        )}
        {whereabouts.value !== null && (
          <SelectField
            label={words.within}
            value={filters.within_km === null ? "" : String(filters.within_km)}
            onValue={(value) => onFilters({ within_km: value === "" ? null : Number(value) })}
            options={[
              { value: "", label: words.anyDistance },
              ...STEPS.map((step) => ({
                value: String(step * unit),
                label: distance(step * unit, settings.value),
              })),
            ]}
          />
        )}
        {count > 0 && (
          <button type="button" class="plain" onClick={() => onFilters(NO_FILTERS)}>
            {words.clear}
          </button>
        )}
      </div>
    </fieldset>
  );
}
