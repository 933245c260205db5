/** The log: the person's own tests, newest first, each with its state in plain words. */

import { useState } from "preact/hooks";
import { labels } from "../../i18n";
import { count, inLine, moment } from "../../i18n/format";
import { useStored } from "../../state/hooks";
import { usePage } from "../../state/page";
import { to } from "../../state/router";
import { server } from "../../state/signals";
import { retryParked } from "../../store/outbox";
import { type LogLine, type LogPage, listTests } from "../../store/tests";
import { syncWords } from "../../sync/words";
import { TextField } from "../../widgets/fields";
import { Reading } from "../../widgets/reading";
import { chosen } from "../../widgets/side-by-side";
import { TubeGlyph } from "../../widgets/tube-glyph";
import { Waiting } from "../../widgets/waiting";
import { OwnSources } from "./own-sources";
import { signOf } from "./sign";
import { Trend } from "./trend";

const PAGE = 30;

export function LogList() {
  const words = labels.log;
  const [search, setSearch] = useState("");
  const [limit, setLimit] = useState(PAGE);
  const page = useStored(() => listTests({ limit, search }), ["own_tests", "sources"], [limit, search]);
  const isEmpty = page?.total === 0 && search === "";
  return (
    <>
      <header class="head">
        <h1>{words.title}</h1>
        <p class="quiet">{words.lead}</p>
      </header>
      <Places />
      <OwnSources />
      <section class="leaf">
        {isEmpty ? (
          <div class="empty">
            <TubeGlyph content={null} uncertainty={null} silent />
            <p>{words.none}</p>
          </div>
        ) : (
          <TextField
            label={words.search}
            type="search"
            value={search}
            onValue={(value) => {
              setSearch(value);
              setLimit(PAGE);
            }}
            maxLength={80}
            hint={words.searchHint}
          />
        )}
        {page === undefined && <Waiting word={labels.common.opening} />}
        {page !== undefined && !isEmpty && (
          <>
            <Trend search={search} />
            <Found page={page} />
          </>
        )}
        {page !== undefined && page.total > page.lines.length && (
          <button type="button" onClick={() => setLimit(limit + PAGE)}>
            {words.more}
          </button>
        )}
      </section>
      <Exchange />
    </>
  );
}

/** Less used pages, behind one button. */
function Places() {
  const words = labels.log;
  return (
    <details class="more fold log-places">
      <summary>{words.places}</summary>
      <nav class="buttons" aria-label={words.places}>
        <a class="button" href={to("tubes")}>
          {words.tubes}
        </a>
        <a class="button" href={to("settings")}>
          {words.settings}
        </a>
        <a class="button" href={to("settings", "files")}>
          {words.files}
        </a>
        <a class="button plain" href={to("method")}>
          {labels.method.open}
        </a>
      </nav>
    </details>
  );
}

function Found({ page: { lines, total, search } }: { page: LogPage }) {
  const words = labels.log;
  const tests = count(total, words.test, words.tests);
  return (
    <>
      <p class="hint" role="status">
        {total === 0 ? words.noneFound : search !== "" ? words.found(tests) : words.total(tests)}
      </p>
      <ul class="row-list">
        {lines.map((line) => (
          <li key={line.row.id}>
            <Line line={line} />
          </li>
        ))}
      </ul>
    </>
  );
}

function Line({ line: { row, name, pump } }: { line: LogLine }) {
  const { content, expanded_uncertainty, sampled_at } = row.test;
  return (
    <a class="row" href={to("log", row.id)} {...chosen("log", row.id)}>
      <TubeGlyph content={content} uncertainty={expanded_uncertainty} silent />
      <span class="row-main">
        <span class="row-name">{inLine([name || labels.log.noName, pump])}</span>
        <span class="row-note">{moment(sampled_at)}</span>
        <span class="sign" data-state={signOf(row)}>
          {syncWords(row.sync, row.retracted)}
        </span>
      </span>
      <span class={row.retracted ? "row-end log-retracted" : "row-end"}>
        <Reading content={content} uncertainty={expanded_uncertainty} />
      </span>
    </a>
  );
}

/** The button that exchanges at once, regardless of the network's apparent state. */
function Exchange() {
  const { exchangeNow } = usePage();
  const { busy, parked } = server.value;
  return (
    <section class="leaf">
      <button type="button" disabled={busy} onClick={() => void exchangeNow()}>
        {labels.log.exchange}
      </button>
      {parked > 0 && (
        <button type="button" onClick={() => void retryParked().then(exchangeNow)}>
          {labels.log.retry}
        </button>
      )}
    </section>
  );
}
