/** All sources this phone knows, ranked, from what the phone holds: it opens without a signal. */

import { useEffect, useMemo, useState } from "preact/hooks";
import { filtersSet, type ListChoice, NO_FILTERS, passes } from "../../filters";
import { ago, number } from "../../format";
import { labels } from "../../labels";
import { chooseList, listChoice, server, settings, whereabouts } from "../../live";
import { ChoiceRow } from "../../parts/choice-row";
import { TextField } from "../../parts/fields";
import { Waiting } from "../../parts/waiting";
import { type Order, type Ranked, rank } from "../../ranking";
import { to } from "../../router";
import { listFigures } from "../../store/figures";
import type { FiguresRow } from "../../store/schema";
import { exchangeNow } from "../../sync/when";
import { useNow, useStored } from "../../use";
import { Due } from "./due";
import { ListFilters } from "./list-filters";
import { Locate } from "./locate";
import { matches } from "./search";
import { SourceLine } from "./source-line";

const PAGE = 20;
const FEW = 5;
/** As many as a screen shows: the rest of the page is drawn once these are on it. */
const AT_ONCE = 6;
const AS_IS: ListChoice = { order: "steadiest", filters: NO_FILTERS };
const ORDERS: readonly Order[] = ["steadiest", "floor", "nearest"];

export function SourcesList() {
  const words = labels.sources;
  const rows = useStored(listFigures, ["figures"]);
  // Shown once it is known how the list was left.
  const kept = listChoice.value;
  return (
    <>
      <header class="head">
        <h1>{words.title}</h1>
        <Fetched />
      </header>
      <Due />
      {rows === undefined || kept === undefined ? (
        <Waiting word={words.loading} />
      ) : (
        <Found rows={rows} kept={kept ?? AS_IS} />
      )}
      <div class="leaf">
        <a class="button" href={to("source", "new")}>
          {words.add}
        </a>
      </div>
    </>
  );
}

function Found({ rows, kept }: { rows: readonly FiguresRow[]; kept: ListChoice }) {
  const words = labels.sources;
  const { filters } = kept;
  // A later version may know more orders.
  const order = ORDERS.includes(kept.order) ? kept.order : AS_IS.order;
  const keep = (change: (old: ListChoice) => Partial<ListChoice>) =>
    void chooseList((old) => ({ ...(old ?? AS_IS), ...change(old ?? AS_IS) }));
  const [text, setText] = useState("");
  const here = whereabouts.value;
  const { own_minimum } = settings.value;
  const { ranked, unsampled } = useMemo(() => {
    const now = new Date();
    const named = text.trim() === "" ? rows : rows.filter((row) => matches(row, text));
    return rank(named, order, here, (row) => passes(row, filters, own_minimum, now));
  }, [rows, text, order, here, filters, own_minimum]);
  if (rows.length === 0) return <p>{words.empty}</p>;
  return (
    <>
      <a class="button" href={to("sources", "map")}>
        {words.map.open}
      </a>
      <div class="form list-tools">
        <ChoiceRow
          legend={words.order}
          bare
          value={order}
          onValue={(next) => keep(() => ({ order: next }))}
          options={ORDERS.map((value) => ({ value, label: words.orders[value] }))}
          hint={words.orderHint[order]}
        />
        {here === null && <Locate />}
        {rows.length > FEW && (
          <TextField label={words.find} type="search" value={text} onValue={setText} maxLength={60} />
        )}
        {rows.length > FEW && (
          <ListFilters
            filters={filters}
            onFilters={(change) => keep((old) => ({ filters: { ...old.filters, ...change } }))}
          />
        )}
      </div>
      {ranked.length + unsampled.length === 0 && (
        <p role="status">{filtersSet(filters) > 0 ? words.noneFiltered : words.none}</p>
      )}
      <Lines rows={ranked} first={PAGE} />
      {ranked.length > 1 && <p class="hint">{words.exchangeCancels}</p>}
      {unsampled.length > 0 && (
        <section class="leaf" aria-labelledby="unsampled">
          <div>
            <h2 id="unsampled">{words.unsampled}</h2>
            <p class="hint">{words.unsampledHint}</p>
          </div>
          <Lines rows={unsampled} first={FEW} />
        </section>
      )}
    </>
  );
}

/** A page of lines, more on request: two thousand sources open as fast as twenty. */
function Lines({ rows, first }: { rows: readonly Ranked[]; first: number }) {
  const [most, setMost] = useState(Math.min(first, AT_ONCE));
  const now = useNow(60_000);
  // Another order or another search begins at the top again.
  useEffect(() => afterFrame(() => setMost(first)), [rows, first]);
  const rest = rows.length - most;
  return (
    <>
      <ol class="row-list">
        {rows.slice(0, most).map((row) => (
          <li key={row.source}>
            <SourceLine row={row} now={now} />
          </li>
        ))}
      </ol>
      {rest > 0 && (
        <button type="button" onClick={() => setMost(most + PAGE)}>
          {labels.sources.more(number(rest, 0))}
        </button>
      )}
    </>
  );
}

/** Calls `act` once the next frame is on the screen. Gives the way to stop. */
function afterFrame(act: () => void): () => void {
  let timer: ReturnType<typeof setTimeout> | undefined;
  const frame = requestAnimationFrame(() => {
    timer = setTimeout(act);
  });
  return () => {
    cancelAnimationFrame(frame);
    clearTimeout(timer);
  };
}

/** How old the list is, and the button to fetch a newer one. */
function Fetched() {
  const words = labels.sources;
  const now = useNow(60_000);
  const { succeeded_at, busy } = server.value;
  return (
    <div class="fetched">
      <p class="quiet" role="status">
        {busy ? words.fetching : succeeded_at ? words.fetched(ago(succeeded_at, now)) : words.fetchedNever}
      </p>
      <button type="button" class="plain small" disabled={busy} onClick={() => void exchangeNow()}>
        {words.fetch}
      </button>
    </div>
  );
}
