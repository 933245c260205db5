/** Search, order and filters of the list behind one button, with a one-line summary, and the link to the map. */

import { labels } from "../../i18n";
import { count, inLine } from "../../i18n/format";
import { filtersSet, type ListChoice } from "../../model/filters";
import type { Order } from "../../model/ranking";
import { to } from "../../state/router";
import { whereabouts } from "../../state/signals";
import { ChoiceRow } from "../../widgets/choice-row";
import { TextField } from "../../widgets/fields";
import { ListFilters } from "./list-filters";
import { Locate } from "./locate";

const ORDERS: readonly Order[] = ["steadiest", "floor", "nearest"];

export interface ListToolsProps extends ListChoice {
  text: string;
  onText: (text: string) => void;
  /** Called with a function that returns the change. */
  onChoice: (change: (old: ListChoice) => Partial<ListChoice>) => void;
  /** False if there are too few sources to search. */
  searched: boolean;
}

/** A later version may have more orders. */
export function orderOf(kept: string): Order {
  return ORDERS.find((one) => one === kept) ?? "steadiest";
}

export function ListTools({ order, filters, text, onText, onChoice, searched }: ListToolsProps) {
  const words = labels.sources;
  const { stars } = words;
  const conditions = filtersSet(filters);
  return (
    <div class="list-tools">
      <details class="more fold">
        <summary>
          <span>
            {stars.tools}
            <small>
              {inLine([
                words.orders[order],
                conditions > 0 && count(conditions, stars.condition, stars.conditions),
                text.trim(),
              ])}
            </small>
          </span>
        </summary>
        <div class="form">
          {searched && <TextField label={words.find} type="search" value={text} onValue={onText} maxLength={60} />}
          <ChoiceRow
            legend={words.order}
            bare
            value={order}
            onValue={(next) => onChoice(() => ({ order: next }))}
            options={ORDERS.map((value) => ({ value, label: words.orders[value] }))}
            hint={words.orderHint[order]}
          />
          {searched && (
            <ListFilters
              filters={filters}
              onFilters={(change) => onChoice((old) => ({ filters: { ...old.filters, ...change } }))}
            />
          )}
        </div>
      </details>
      <a class="button" href={to("sources", "map")}>
        {words.map.open}
      </a>
      {whereabouts.value === null && <Locate />}
    </div>
  );
}
