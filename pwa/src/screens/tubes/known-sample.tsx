/** Known sample: testing a fuel of known content in this tube gives the tube's offset. */

import { useState } from "preact/hooks";
import { LARGEST_OFFSET } from "../../chemistry/limits";
import { labels } from "../../i18n";
import { day, number, withUncertainty } from "../../i18n/format";
import { type SampleFound, sampleFound } from "../../model/sample";
import { useStored } from "../../state/hooks";
import { go, to } from "../../state/router";
import { type LogLine, listTestsIn } from "../../store/tests";
import { dropOffset, takeOffset } from "../../store/tubes";
import { SelectField } from "../../widgets/fields";
import { NumberField } from "../../widgets/number-field";
import { Pairs } from "../../widgets/pairs";
import { problemSentence } from "../shared/problem-sentence";
import { knownText, measuredText, offsetText } from "../shared/tube-words";
import type { TubeProps } from "./props";

export function KnownSamplePage({ row }: TubeProps) {
  const words = labels.tubes.sample;
  const tests = useStored(() => listTestsIn(row.id), ["own_tests", "sources"], [row.id]);
  return (
    <div class="form">
      <header class="head">
        <h1>{words.title}</h1>
        <p class="quiet">{row.name}</p>
        <p>{words.lead}</p>
      </header>
      <Present row={row} />
      {row.scale === "unknown" && (
        <>
          <p class="warning">{words.scaleFirst}</p>
          <a class="button" href={to("tubes", row.id, "scale")}>
            {labels.tubes.acts.check}
          </a>
        </>
      )}
      {row.scale !== "unknown" && tests?.length === 0 && (
        <>
          <p>{words.none}</p>
          <a class="button" href={to("test")}>
            {words.toTest}
          </a>
        </>
      )}
      {row.scale !== "unknown" && tests !== undefined && tests.length > 0 && <SampleForm row={row} tests={tests} />}
      <a class="button plain" href={to("tubes", row.id)}>
        {labels.tubes.back}
      </a>
    </div>
  );
}

/** The tube's present offset. */
function Present({ row }: TubeProps) {
  const words = labels.tubes.sample;
  if (row.sample === null) return null;
  return (
    <div class="field">
      <p>{words.now(offsetText(row.offset, row.offset_uncertainty))}</p>
      <button type="button" onClick={() => void dropOffset(row.id, new Date()).then(() => go(["tubes", row.id], true))}>
        {words.drop}
      </button>
    </div>
  );
}

function SampleForm({ row, tests }: TubeProps & { tests: readonly LogLine[] }) {
  const words = labels.tubes.sample;
  const [id, setId] = useState(tests[0]?.row.id ?? "");
  const [known, setKnown] = useState<number | null>(null);
  const [uncertainty, setUncertainty] = useState<number | null>(null);
  const test = tests.find((line) => line.row.id === id)?.row.test;
  const isWhole = test !== undefined && known !== null && uncertainty !== null;
  const found = isWhole ? sampleFound(row, test, known, uncertainty, new Date()) : null;
  return (
    <>
      <SelectField label={words.test} value={id} onValue={setId} options={tests.map(option)} />
      <div class="form-pair">
        <NumberField
          label={words.known}
          unit="%"
          value={known}
          onValue={setKnown}
          step={0.5}
          min={0}
          max={100}
          offered={85}
        />
        <NumberField
          label={words.knownUncertainty}
          unit="%"
          value={uncertainty}
          onValue={setUncertainty}
          step={0.1}
          min={0.01}
          max={20}
          offered={0.5}
          hint={words.knownUncertaintyHint}
        />
      </div>
      <div role="status" class="form">
        {found && <Found row={row} found={found} />}
      </div>
    </>
  );
}

function option({ row: { id, test }, name }: LogLine) {
  const reading = withUncertainty(test.content, test.expanded_uncertainty);
  return { value: id, label: labels.tubes.sample.line(reading, day(test.sampled_at), name) };
}

function Found({ row, found }: TubeProps & { found: SampleFound }) {
  const words = labels.tubes.sample;
  if (!("offset" in found)) {
    return (
      <>
        {found.problems.map((problem) => (
          <p key={problem.code + problem.field} class="fault">
            {problemSentence(problem)}
          </p>
        ))}
      </>
    );
  }
  const { sample, offset, problems } = found;
  const leave = () => go(["tubes", row.id], true);
  const take = () => {
    const taken = { ...sample, taken_at: new Date().toISOString() };
    void takeOffset(row.id, taken, offset.offset, offset.expanded_uncertainty).then(leave);
  };
  const size = withUncertainty(Math.abs(offset.offset), offset.expanded_uncertainty, labels.tubes.known.points);
  return (
    <section class="result" aria-label={words.title}>
      <Pairs
        of={[
          [words.measured, <Measured text={measuredText(sample)} />],
          [words.knownTo, knownText(sample)],
          [words.offset, offset.offset < 0 ? words.high(size) : words.low(size)],
        ]}
      />
      {problems.length > 0 ? (
        <p class="fault">{words.impossible(`${number(LARGEST_OFFSET, 0)} ${labels.tubes.known.points}`)}</p>
      ) : (
        <>
          <p>{offset.significant ? words.significant : words.insignificant}</p>
          <p class="hint">{words.carries}</p>
          <button type="button" class={offset.significant ? "main" : undefined} onClick={take}>
            {words.take}
          </button>
        </>
      )}
      <button type="button" class={offset.significant ? undefined : "main"} onClick={leave}>
        {words.leave}
      </button>
    </section>
  );
}

function Measured({ text }: { text: string }) {
  return (
    <>
      {text}
      <small>{labels.tubes.sample.measuredHint}</small>
    </>
  );
}
