/** How a content was computed, as a picture: the line as read, the corrections stacked, the content with its ±. */

import { labels } from "../i18n";
import { number } from "../i18n/format";
import { type Column, type Corrections, columnsOf } from "./waterfall-columns";

export interface WaterfallProps extends Corrections {
  /** The corrections in words, with their figures. */
  name: string;
}

export function Waterfall({ name, ...corrections }: WaterfallProps) {
  const columns = columnsOf(corrections);
  return (
    <div class="fall" role="img" aria-label={name}>
      {columns.map((column, index) => (
        <div key={column.letter} class="fall-column">
          <div class="fall-field">
            <i
              class="fall-bar"
              data-kind={column.kind}
              style={{ insetBlockEnd: `${column.low}%`, blockSize: `${column.high - column.low}%` }}
            />
            {column.spread && (
              <i
                class="fall-spread"
                style={{ insetBlockEnd: `${column.spread[0]}%`, blockSize: `${column.spread[1] - column.spread[0]}%` }}
              />
            )}
            {index < columns.length - 1 && <i class="fall-link" style={{ insetBlockEnd: `${column.end}%` }} />}
            <b class="fall-value" style={{ insetBlockEnd: `${topOf(column)}%` }}>
              {textOf(column)}
            </b>
          </div>
          <span class="fall-letter">{column.letter}</span>
        </div>
      ))}
    </div>
  );
}

function topOf({ high, spread }: Column): number {
  return Math.max(high, spread?.[1] ?? 0);
}

function textOf({ kind, value }: Column): string {
  const text = number(value, 1);
  return kind === "up" ? labels.format.signed(text) : text;
}
