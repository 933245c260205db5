/** One source: its figures in words, its series, all its tests, its position. */

import { useEffect, useRef, useState } from "preact/hooks";
import { labels } from "../../i18n";
import { useStored } from "../../state/hooks";
import { go, to } from "../../state/router";
import { stars } from "../../state/signals";
import { staysHere } from "../../store/outbox";
import { editSource, type SourcePage as Page, readSource, type SourceEntry, shareOwnSource } from "../../store/sources";
import { Missing } from "../../widgets/missing";
import { TubeGlyph } from "../../widgets/tube-glyph";
import { Waiting } from "../../widgets/waiting";
import { SimilarSource } from "../shared/source/similar-source";
import { SourceForm } from "../shared/source/source-form";
import { Plan } from "./plan";
import { RegionChoice } from "./region-choice";
import { RetractSource } from "./retract-source";
import { Series } from "./series";
import { SourceCode } from "./source-code";
import { SourceFiguresList } from "./source-figures";
import { SourcePlace } from "./source-place";
import { SourceRemarks } from "./source-remarks";
import { SourceTests } from "./source-tests";
import { StarButton } from "./star-button";

export function SourcePage({ id }: { id: string }) {
  const words = labels.sources;
  const found = useStored(
    async () => ({ page: await readSource(id) }),
    ["sources", "merged", "figures", "own_tests", "pulled_tests", "settings"],
    [id],
  );
  const shown = found?.page?.source.id ?? id;
  // For a merged source, the URL changes to the source that represents it.
  useEffect(() => {
    if (shown !== id) go(["source", shown], true);
  }, [shown, id]);
  if (!found) return <Waiting word={labels.common.opening} />;
  if (!found.page) return <Missing title={words.page.missing} back={words.page.back} place="sources" />;
  return <Known key={found.page.source.id} page={found.page} />;
}

function Known({ page }: { page: Page }) {
  const words = labels.sources.page;
  const [editing, setEditing] = useState(false);
  const { source, figures, tests } = page;
  const known = figures?.figures ?? null;
  if (editing) {
    const save = async (entry: SourceEntry) => {
      await editSource(source.id, entry);
      setEditing(false);
    };
    return (
      <>
        <header class="head">
          <h1>{labels.sourceForm.editTitle}</h1>
        </header>
        <SourceForm
          entry={source}
          except={source.id}
          onSave={(entry) => void save(entry)}
          onBack={() => setEditing(false)}
        />
      </>
    );
  }
  return (
    <article class="source">
      <p>
        <a class="button plain" href={to("sources")}>
          {words.back}
        </a>
      </p>
      <header class="source-head">
        <TubeGlyph content={known?.typical ?? null} uncertainty={null} next={known?.next_fill ?? null} size="medium" />
        <div class="head">
          <h1>{source.name}</h1>
          {source.pump && <p class="quiet">{source.pump}</p>}
          {known === null && <p>{words.never}</p>}
        </div>
        <Star source={source.id} name={source.name} />
      </header>
      <SourceRemarks source={source} />
      <SimilarSource source={source} />
      {known && <SourceFiguresList figures={known} />}
      <a class="button main" href={to("test", "with", source.id)}>
        {words.test}
      </a>
      {tests.length > 0 && (
        <div class="source">
          <Series page={page} />
          <SourceTests tests={tests} />
        </div>
      )}
      <Plan source={source.id} />
      <SourcePlace source={source} />
      <RegionChoice source={source} />
      <div class="leaf">
        <a class="button" href={to("source", source.id, "record")}>
          {labels.sources.record.title}
        </a>
        <SourceCode id={source.id} name={source.name} />
      </div>
      {source.own && (
        <div class="leaf">
          {source.sync && staysHere(source.sync) && (
            <div class="field">
              <button type="button" onClick={() => void shareOwnSource(source.id)}>
                {words.share}
              </button>
              <p class="hint">{words.shareHint}</p>
            </div>
          )}
          <button type="button" onClick={() => setEditing(true)}>
            {words.edit}
          </button>
          <RetractSource source={source} />
        </div>
      )}
    </article>
  );
}

/** Shown once it is known whether the source is starred. */
function Star({ source, name }: { source: string; name: string }) {
  const starred = stars.value;
  const touched = useRef<string | null>(null);
  if (starred === undefined) return null;
  return <StarButton source={source} name={name} starred={starred.has(source)} touched={touched} />;
}
