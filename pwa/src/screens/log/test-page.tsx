/** One of the person's own tests: how it was computed, its state, and what can still be done with it. */

import { useState } from "preact/hooks";
import { result } from "../../chemistry/budget";
import { Unusable } from "../../errors";
import { labels } from "../../i18n";
import { inLine, moment, temperature, withUncertainty } from "../../i18n/format";
import { isOff } from "../../model/clock";
import { isKnownTube } from "../../model/later-version";
import type { OwnTest, SealedTest } from "../../rows/test";
import { useStored } from "../../state/hooks";
import { usePage } from "../../state/page";
import { go, to } from "../../state/router";
import { settings } from "../../state/signals";
import { isBeingCorrected } from "../../store/correct";
import { identity } from "../../store/identity";
import { retryParked, staysHere } from "../../store/outbox";
import { readSource } from "../../store/sources";
import { isBy, readTest, restoreTest, retractTest, reviseTest } from "../../store/tests";
import { syncWords } from "../../sync/words";
import { ConfirmDialog } from "../../widgets/confirm-dialog";
import { Missing } from "../../widgets/missing";
import { Pairs } from "../../widgets/pairs";
import { PhotoChoices } from "../../widgets/photo-choices";
import { SavedPhoto } from "../../widgets/saved-photo";
import { offerUndo } from "../../widgets/undo";
import { Waiting } from "../../widgets/waiting";
import { fuelWaterText } from "../shared/fuel-water";
import { PassOn } from "../shared/pass-on";
import { remarkText, runWords, tubeWords } from "../shared/record-words";
import { eachAlone, type Outcome } from "../shared/result/outcome";
import { ResultView } from "../shared/result/result-view";
import { candidatesOf } from "../shared/source/region-candidates";
import { SimilarSource } from "../shared/source/similar-source";
import { Former } from "./former";
import { LaterResult } from "./later-result";
import { NoteForm } from "./note-form";
import { signOf } from "./sign";
import { TimesForm } from "./times-form";

export function TestPage({ id }: { id: string }) {
  // null: not found.
  const row = useStored(async () => (await readTest(id)) ?? null, ["own_tests"], [id]);
  if (row === undefined) return <Waiting word={labels.common.opening} />;
  if (row === null) return <Missing title={labels.log.page.lost} back={labels.log.page.back} place="log" />;
  return <Known row={row} />;
}

function Known({ row }: { row: OwnTest }) {
  const { test } = row;
  const words = labels.log.page;
  const place = useStored(() => readSource(test.source), ["sources", "figures"], [test.source]);
  const isWrong = place?.tests.some((one) => one.id === row.id && one.wrong) ?? false;
  const name = place?.source.name ?? labels.log.noName;
  // What is probably wrong comes first.
  const doubtful = isOff(row.clock_behind ?? null);
  const times = <TimesForm key={`${test.revision} ${row.clock_behind}`} row={row} />;
  const note = !row.retracted && <NoteForm key={test.revision} row={row} />;
  // The note is what ends a conflict.
  const isConflict = row.sync.problems.some((problem) => problem.code === "conflict");
  return (
    <>
      <p>
        <a class="button plain" href={to("log")}>
          {words.back}
        </a>
      </p>
      <header class="head">
        <h1>{name}</h1>
        <p class="quiet">{inLine([labels.test.source.sampledShort[test.sampled], moment(test.sampled_at)])}</p>
      </header>
      {!row.retracted && doubtful && times}
      <div class="beside">
        <div>{isKnown(test) ? <Computed row={row} /> : <LaterResult test={test} />}</div>
        <div>
          <Status row={row} />
          {isConflict && note}
          {isWrong && !row.retracted && (
            <p class="warning" data-wrong>
              {words.wrong}
            </p>
          )}
          {place && candidatesOf(place.source).length > 0 && (
            <a class="button" href={to("source", test.source)}>
              {words.region}
            </a>
          )}
          {place && <SimilarSource source={place.source} />}
          <section class="leaf">
            <Pairs
              of={[
                [words.source, <a href={to("source", test.source)}>{name}</a>],
                [words.sampled, moment(test.sampled_at)],
                [words.tested, moment(test.tested_at)],
                [words.tube, tubeWords(test.tube)],
                [words.temperature, degrees(test.temperature, test.temperature_measured)],
                ...filledAt(test),
                [words.fuelWater, fuelWaterText(test.fuel_water)],
                ...test.runs.map((run, at) => [words.run(at + 1), runWords(run)] as const),
              ]}
            />
          </section>
          <Photos test={test} />
          {!row.retracted && <Correction row={row} />}
          {!row.retracted && !doubtful && times}
          {!isConflict && note}
          <Former row={row} />
          {!row.retracted && <Acts row={row} />}
        </div>
      </div>
    </>
  );
}

function Computed({ row: { test, retracted } }: { row: OwnTest }) {
  const outcome = outcomeOfTest(test);
  return (
    <ResultView outcome={outcome} runs={eachAlone(test)} measurement={test} tube={test.tube.id} isSaved>
      {outcome.result && !retracted && (
        <div class="next-run">
          <PassOn test={test} />
        </div>
      )}
    </ResultView>
  );
}

function Status({ row }: { row: OwnTest }) {
  const { exchangeNow } = usePage();
  const words = labels.log.page;
  const { sync, server_content, server_uncertainty } = row;
  const has = (code: string) => sync.problems.some((problem) => problem.code === code);
  const isOthers = has("not_yours");
  const computed = server_content !== null && server_uncertainty !== null;
  return (
    <section class="leaf">
      <h2>{words.standing}</h2>
      <p class="sign" data-state={signOf(row)} role="status">
        {syncWords(sync, row.retracted)}
      </p>
      {sync.answered_at !== null && <p class="hint">{words.answered(moment(sync.answered_at))}</p>}
      {sync.problems.length > 0 && (
        <>
          <h3>{words.serverSays}</h3>
          <ul>
            {sync.problems.map((problem) => (
              <li key={problem.code + problem.field}>{remarkText(problem)}</li>
            ))}
          </ul>
        </>
      )}
      {computed && <Pairs of={[[words.serverContent, withUncertainty(server_content, server_uncertainty)]]} />}
      {isOthers && (
        <>
          <p>{words.otherIdentity}</p>
          <a class="button" href={to("settings", "files")}>
            {labels.log.file.open}
          </a>
        </>
      )}
      {sync.state === "refused" && !isOthers && !has("conflict") && (
        <button type="button" onClick={() => void retryParked({ kind: "test", id: row.id }).then(exchangeNow)}>
          {words.retry}
        </button>
      )}
    </section>
  );
}

function Photos({ test }: { test: SealedTest }) {
  const words = labels.log.page;
  if (test.photos.length === 0) return null;
  const marksOn = (digest: string) => test.runs.find((run) => run.marks?.photo === digest)?.marks;
  return (
    <section class="leaf">
      <h2>{words.photos}</h2>
      <ul class="photos">
        {test.photos.map((digest, at) => (
          <li key={digest}>
            <SavedPhoto digest={digest} alt={words.photo(at + 1)} marks={marksOn(digest)} />
          </li>
        ))}
      </ul>
    </section>
  );
}

/** The button to correct the entries. If there is an unfinished sheet, it continues with that. */
function Correction({ row }: { row: OwnTest }) {
  const words = labels.log.page;
  const who = useStored(identity, ["settings"]);
  const isBegun = useStored(() => isBeingCorrected(row.id), ["drafts"], [row.id]);
  if (!who || !isBy(row, who.contributor) || !isKnown(row.test)) return null;
  return (
    <section class="leaf">
      <a class="button" href={to("test", "correct", row.id)}>
        {isBegun ? words.correctOn : words.correct}
      </a>
      <p class="hint">{words.correctHint}</p>
    </section>
  );
}

/** Nobody else has it, so it can be restored. */
async function remove(row: OwnTest): Promise<void> {
  await retractTest(row.id);
  go(["log"]);
  offerUndo(labels.parts.undo.test, () => void restoreTest(row));
}

function Acts({ row }: { row: OwnTest }) {
  const words = labels.log.page;
  const [asking, setAsking] = useState(false);
  const [unshared, setUnshared] = useState<readonly string[]>(row.unshared_photos ?? []);
  const who = useStored(identity, ["settings"]);
  const isForeign = !isBy(row, who?.contributor ?? null);
  const isPrivate = staysHere(row.sync) && row.sync.revision === null;
  return (
    <section class="leaf">
      {isForeign && <p class="hint">{words.foreign(row.author as string)}</p>}
      {!row.shared && !isForeign && (
        <div class="field">
          <PhotoChoices digests={row.test.photos} unshared={unshared} onUnshared={setUnshared} />
          <button type="button" onClick={() => void reviseTest(row.id, { shared: true, unshared_photos: unshared })}>
            {words.share}
          </button>
          <p class="hint">{words.shareHint}</p>
        </div>
      )}
      <button type="button" onClick={() => (isPrivate ? void remove(row) : setAsking(true))}>
        {isPrivate ? words.remove : words.retract}
      </button>
      <ConfirmDialog
        open={asking}
        title={words.retractAsk}
        act={words.retract}
        back={words.retractBack}
        onAct={() => {
          setAsking(false);
          void retractTest(row.id).then(() => go(["log"]));
        }}
        onBack={() => setAsking(false)}
      >
        <p>{words.retractWhat}</p>
      </ConfirmDialog>
    </section>
  );
}

function degrees(celsius: number, isMeasured: boolean | undefined): string {
  const { measured, guessed } = labels.log.page;
  return `${temperature(celsius, settings.value)}, ${isMeasured ? measured : guessed}`;
}

/** The temperatures of the liquids when filled, if recorded. */
function filledAt(test: SealedTest): [name: string, value: string][] {
  const words = labels.log.page;
  const { water_temperature: water = null, fuel_temperature: fuel = null } = test;
  return [
    ...(water === null
      ? []
      : [[words.waterTemperature, degrees(water, test.water_temperature_measured)] as [string, string]]),
    ...(fuel === null
      ? []
      : [[words.fuelTemperature, degrees(fuel, test.fuel_temperature_measured)] as [string, string]]),
  ];
}

/** Whether this version can compute it: it knows the kind of every tube. */
function isKnown({ tube, runs }: SealedTest): boolean {
  return [tube, ...runs.flatMap((run) => run.tube ?? [])].every(isKnownTube);
}

/** Recomputed from the runs, like everything shown. */
function outcomeOfTest(test: SealedTest): Outcome {
  try {
    return { result: result(test), problems: null };
  } catch (fault) {
    if (fault instanceof Unusable) return { result: null, problems: fault.problems };
    throw fault;
  }
}
