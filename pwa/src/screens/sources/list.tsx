/** All sources this phone knows, ranked, from the phone's storage: it opens without a signal. */

import { useEffect, useMemo, useRef, useState } from "preact/hooks";
import { labels } from "../../i18n";
import { ago, number } from "../../i18n/format";
import { filtersSet, type ListChoice, NO_FILTERS, passes } from "../../model/filters";
import type { News } from "../../model/news";
import { rank } from "../../model/ranking";
import type { FiguresRow } from "../../rows/source";
import { useNow, useStored } from "../../state/hooks";
import { usePage } from "../../state/page";
import { to } from "../../state/router";
import { listChoice, server, settings, stars, whereabouts } from "../../state/signals";
import { viewStars } from "../../store/stars";
import { Waiting } from "../../widgets/waiting";
import { matching } from "../shared/source/search";
import { Due } from "./due";
import { ListTools, orderOf } from "./list-tools";
import { SourceLine } from "./source-line";
import { StarButton, type Touched } from "./star-button";

const PAGE = 20;
const FEW = 5;
/** As many as fit on a screen: the rest is drawn once these are visible. */
const AT_ONCE = 5;
const AS_IS: ListChoice = { order: "steadiest", filters: NO_FILTERS };

export function SourcesList() {
  const words = labels.sources;
  const rows = useStored(usePage().figures.read, ["figures"]);
  // Shown once the saved state of the list is known.
  const kept = listChoice.value;
  const starred = stars.value;
  return (
    <>
      <header class="head">
        <h1>{words.title}</h1>
        <Fetched />
      </header>
      <Due />
      {rows === undefined || kept === undefined || starred === undefined ? (
        <Waiting word={words.loading} />
      ) : (
        <Found rows={rows} kept={kept ?? AS_IS} starred={starred} />
      )}
      <div class="leaf">
        <a class="button" href={to("source", "new")}>
          {words.add}
        </a>
      </div>
    </>
  );
}

function Found({ rows, kept, starred }: { rows: readonly FiguresRow[]; kept: ListChoice; starred: Starred }) {
  const words = labels.sources;
  const { live } = usePage();
  const { filters } = kept;
  const order = orderOf(kept.order);
  const [text, setText] = useState("");
  const touched: Touched = useRef(null);
  const here = whereabouts.value;
  const { own_minimum } = settings.value;
  const { mine, ranked, unsampled } = useMemo(() => {
    const looking = { here, minimum: own_minimum, now: new Date() };
    const shown = rows.filter(matching(text)).filter((row) => passes(row, filters, looking));
    const isMine = (row: FiguresRow) => starred.has(row.source);
    const own = rank(shown.filter(isMine), order, here);
    const others = shown.filter((row) => !isMine(row));
    return { ...rank(others, order, here), mine: [...own.ranked, ...own.unsampled] };
  }, [rows, text, order, here, filters, own_minimum, starred]);
  if (rows.length === 0) return <p>{words.empty}</p>;
  return (
    <>
      <ListTools
        {...{ order, filters, text }}
        onText={setText}
        onChoice={(change) => void live.chooseList((old) => ({ ...(old ?? AS_IS), ...change(old ?? AS_IS) }))}
        searched={rows.length > FEW}
      />
      {mine.length + ranked.length + unsampled.length === 0 && (
        <p role="status">{filtersSet(filters) > 0 ? words.noneFiltered : words.none}</p>
      )}
      {mine.length > 0 && <Mine rows={mine} starred={starred} touched={touched} />}
      {mine.length > 0 && ranked.length > 0 && <h2 class="list-others">{words.stars.others}</h2>}
      <Lines rows={ranked} starred={starred} touched={touched} first={PAGE} />
      {ranked.length > 1 && <p class="hint">{words.exchangeCancels}</p>}
      {unsampled.length > 0 && (
        <section class="leaf" aria-labelledby="unsampled">
          <div>
            <h2 id="unsampled">{words.unsampled}</h2>
            <p class="hint">{words.unsampledHint}</p>
          </div>
          <Lines rows={unsampled} starred={starred} touched={touched} first={FEW} />
        </section>
      )}
    </>
  );
}

type Starred = ReadonlySet<string>;

/** The starred sources, each with what changed since the list was last viewed. */
function Mine({ rows, starred, touched }: Omit<LinesProps, "first" | "news">) {
  // Runs again once everything was fetched: before that no state is saved to compare with.
  const { succeeded_at } = server.value;
  const news = useStored(() => viewStars(new Date()), ["figures", "pulled_tests"], [starred, succeeded_at]);
  return (
    <section aria-labelledby="starred">
      <h2 id="starred">{labels.sources.stars.title}</h2>
      <Lines rows={rows} starred={starred} touched={touched} first={rows.length} news={news} />
    </section>
  );
}

interface LinesProps {
  rows: readonly FiguresRow[];
  starred: Starred;
  touched: Touched;
  first: number;
  news?: ReadonlyMap<string, readonly News[]> | undefined;
}

/** A page of rows, more on request: two thousand sources open as fast as twenty. */
function Lines({ rows, starred, touched, first, news }: LinesProps) {
  const [most, setMost] = useState(Math.min(first, AT_ONCE));
  const now = useNow(60_000);
  // A new order or search starts at the top again.
  useEffect(() => afterFrame(() => setMost(first)), [rows, first]);
  const rest = rows.length - most;
  return (
    <>
      <ol class="row-list starred-list">
        {rows.slice(0, most).map((row) => (
          <li key={row.source}>
            <SourceLine row={row} now={now} news={news?.get(row.source)} />
            <StarButton source={row.source} name={row.name} starred={starred.has(row.source)} touched={touched} />
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

/** Calls `act` after the next frame was painted. Returns a function that cancels it. */
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

/** The age of the list, and the button to refresh it. */
function Fetched() {
  const { exchangeNow } = usePage();
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
