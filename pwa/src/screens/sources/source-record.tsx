/** The printed record of a source: its figures, its series and every test. */

import { labels } from "../../i18n";
import { coordinates, day, inLine, withUncertainty } from "../../i18n/format";
import { useNow, useStored } from "../../state/hooks";
import { addressOf, to } from "../../state/router";
import { readSource, type SourcePage } from "../../store/sources";
import { QrCode } from "../../widgets/lazy-qr";
import { Missing } from "../../widgets/missing";
import { Waiting } from "../../widgets/waiting";
import { useRegionName } from "../shared/source/region-name";
import { Series } from "./series";
import { SourceFiguresList } from "./source-figures";
import { testNote } from "./source-tests";

export function SourceRecord({ id }: { id: string }) {
  const found = useStored(
    async () => ({ page: await readSource(id) }),
    ["sources", "merged", "figures", "own_tests", "pulled_tests"],
    [id],
  );
  if (!found) return <Waiting word={labels.common.opening} />;
  const words = labels.sources;
  if (!found.page) return <Missing title={words.page.missing} back={words.page.back} place="sources" />;
  return (
    <article class="record">
      <Sheet page={found.page} />
      <button type="button" class="main stays" onClick={() => print()}>
        {words.record.print}
      </button>
      <a class="button plain" href={to("source", id)}>
        {labels.common.back}
      </a>
    </article>
  );
}

function Sheet({ page }: { page: SourcePage }) {
  const words = labels.sources.record;
  const { source, figures, tests } = page;
  const region = useRegionName(source.region ?? "");
  const known = figures?.figures ?? null;
  const { latitude, longitude } = source;
  return (
    <>
      <header class="head">
        <h1>{inLine([source.name, source.pump])}</h1>
        <p>{inLine([region, latitude !== null && longitude !== null && coordinates(latitude, longitude)])}</p>
        <p class="quiet">{words.printed(day(useNow(60_000)))}</p>
      </header>
      {known ? <SourceFiguresList figures={known} /> : <p>{labels.sources.page.never}</p>}
      {tests.length > 0 && <Series page={page} />}
      {tests.length > 0 && (
        <section class="leaf">
          <h2>{labels.sources.page.list}</h2>
          <table class="record-tests">
            <thead>
              <tr>
                <th scope="col">{words.sampled}</th>
                <th scope="col">{words.content}</th>
                <th scope="col">{words.kind}</th>
              </tr>
            </thead>
            <tbody>
              {tests.map((test) => (
                <tr key={test.id}>
                  <td>{day(test.sampled_at)}</td>
                  <td>{withUncertainty(test.content, test.expanded_uncertainty)}</td>
                  <td>{testNote(test)}</td>
                </tr>
              ))}
            </tbody>
          </table>
          <p class="hint">{words.coverage}</p>
        </section>
      )}
      <QrCode text={addressOf("source", source.id)} name={labels.sources.code.name(source.name)} />
    </>
  );
}
