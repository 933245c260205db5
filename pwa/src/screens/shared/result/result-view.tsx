/** The result: the tube, the number, what it means, how it was computed and what makes it uncertain. */

import type { ComponentChildren } from "preact";
import type { Result } from "../../../chemistry/budget";
import { counted, type Measurement } from "../../../chemistry/measurement";
import { labels } from "../../../i18n";
import { decimalsFor, interval, mL, number, pair, percent, withUncertainty } from "../../../i18n/format";
import type { Odd } from "../../../model/odd";
import { to } from "../../../state/router";
import { settings } from "../../../state/signals";
import { Reading } from "../../../widgets/reading";
import { StepsList } from "../../../widgets/steps-list";
import { TubeGlyph } from "../../../widgets/tube-glyph";
import { Waterfall } from "../../../widgets/waterfall";
import { letterOf } from "../../../widgets/waterfall-columns";
import { OddNote } from "../odd-note";
import { problemSentence } from "../problem-sentence";
import { grownOf } from "./contradiction";
import { EnoughView } from "./enough-view";
import { limitsOf, meaningOf, type Outcome } from "./outcome";
import { signed } from "./summaries";
import { UncertainView } from "./uncertain-view";

export interface ResultViewProps {
  outcome: Outcome;
  /** Each run on its own; null: it has no result. */
  runs: readonly (Result | null)[];
  measurement: Measurement;
  /** Id of the tube used. */
  tube: string;
  /** The test is saved: nothing can be done at the tube any more. */
  isSaved: boolean;
  /** Far from its source's earlier results. */
  odd?: Odd | null;
  /** Actions on the result: after what it means, before how it was computed. */
  children?: ComponentChildren;
}

export function ResultView({ outcome, ...rest }: ResultViewProps) {
  const words = labels.result;
  if (outcome.result === null) {
    return (
      <section class="result" aria-label={words.title}>
        <h2>{words.title}</h2>
        {outcome.problems.map((problem) => (
          <p key={problem.code + problem.field} class="fault" role="alert">
            {problemSentence(problem)}
          </p>
        ))}
      </section>
    );
  }
  return <Found found={outcome.result} {...rest} />;
}

type FoundProps = Omit<ResultViewProps, "outcome"> & { found: Result };

function Found({ children, ...props }: FoundProps) {
  return (
    <>
      <Headline {...props} />
      {children}
      <Account {...props} />
    </>
  );
}

/** The number, its uncertainty, and what they mean. */
function Headline({ found, measurement, tube, odd, isSaved }: FoundProps) {
  const words = labels.result;
  const { content, expanded_uncertainty, span } = found;
  return (
    <section class="result" aria-label={words.title}>
      <div class="result-main">
        <TubeGlyph content={content} uncertainty={expanded_uncertainty} span={span} size="large" scale silent />
        <div>
          <h2>{words.title}</h2>
          <div role="status">
            <p class="quiet">{words.content}</p>
            <Reading content={content} uncertainty={expanded_uncertainty} span={span} size="large" />
          </div>
          <p class="hint">{coverageOf(found)}</p>
        </div>
      </div>
      {odd && <OddNote odd={odd} isSaved={isSaved} />}
      <Meanings found={found} measurement={measurement} tube={tube} />
      <p class="hint">{words.alcohols}</p>
    </section>
  );
}

/** How the number was computed, and what makes it uncertain. */
function Account({ found, runs, measurement, isSaved }: FoundProps) {
  const words = labels.result;
  return (
    <section class="account" aria-label={words.account}>
      <Corrected found={found} measurement={measurement} />
      {runs.length > 1 && (
        <StepsList
          title={words.runs}
          steps={runs.map((run, index) => ({
            name: runName(measurement, index),
            value: run === null ? labels.parts.none : withUncertainty(run.content, run.expanded_uncertainty),
          }))}
        />
      )}
      <Tops found={found} measurement={measurement} />
      <UncertainView found={found} measurement={measurement} isSaved={isSaved} />
    </section>
  );
}

/** The corrections as a picture and as a list, with the same letters in both. */
function Corrected({ found, measurement }: Pick<FoundProps, "found" | "measurement">) {
  const words = labels.result;
  const { content, expanded_uncertainty, as_read, steps } = found;
  const lines = [
    { name: asReadName(measurement), value: percent(as_read) },
    ...steps.map((step) => ({ name: words.step[step.name] ?? step.name, value: signed(step.change) })),
    { name: words.total, value: withUncertainty(content, expanded_uncertainty), total: true },
  ].map((line, index) => ({ ...line, letter: letterOf(index) }));
  return (
    <div class="pictured">
      <h3>{words.how}</h3>
      <Waterfall
        name={lines.map(({ name, value }) => pair(name, value)).join("; ")}
        asRead={as_read}
        changes={steps.map((step) => step.change)}
        content={content}
        uncertainty={expanded_uncertainty}
      />
      <StepsList title={words.how} bare steps={lines} />
      <p class="hint">{steps.some(({ name }) => name === "exchange") ? words.exchangeBasis : words.exchangeNone}</p>
    </div>
  );
}

/** With the line itself if it comes from one run, in the tube's printed unit. */
function asReadName(measurement: Measurement): string {
  const words = labels.result;
  const [only, ...more] = counted(measurement);
  return only?.line != null && more.length === 0 ? words.asReadAt(mL(only.line)) : words.asRead;
}

/** The meaning of the uncertainty; nothing if the figures contradict each other. */
function coverageOf(found: Result): string {
  const words = labels.result;
  if (found.warnings.includes("runs_disagree") || found.warnings.includes("layers_disagree")) return words.contradicted;
  if (found.span) return words.span;
  const { content, expanded_uncertainty } = found;
  return words.coverage(interval(limitsOf(content, expanded_uncertainty), "%", decimalsFor(expanded_uncertainty)));
}

/** Why runs that contradict each other widen the uncertainty. */
function Why({ found }: Pick<FoundProps, "found">) {
  const grown = grownOf(found);
  if (grown === null) return null;
  const [apart, now, without] = [grown.apart, found.expanded_uncertainty, grown.without].map((one) => number(one, 1));
  return <p class="hint">{labels.result.grown(apart ?? "", now ?? "", without ?? "")}</p>;
}

/** Warnings that can be resolved by measuring the heights of the tube's marks. */
const ABOUT_SCALE: readonly string[] = ["scale_unknown", "check_scale_kind"];

/** What the content means for this person, and what is odd about it. */
function Meanings({ found, measurement, tube }: Pick<FoundProps, "found" | "measurement" | "tube">) {
  const words = labels.result;
  const { specification, warnings } = meaningOf(found, settings.value.specification);
  return (
    <>
      {warnings.map((code) => (
        <p key={code} class="warning">
          {words.warning[code] ?? code}
        </p>
      ))}
      <Why found={found} />
      {warnings.some((code) => ABOUT_SCALE.includes(code)) && measurement.tube.scale !== "volume" && (
        <a class="button" href={to("tubes", tube, "scale")}>
          {labels.tubes.acts.check}
        </a>
      )}
      <EnoughView found={found} />
      {specification && <p>{words.verdict[specification.verdict](specification.name)}</p>}
    </>
  );
}

/** With the reason, if it was set aside. */
function runName(measurement: Measurement, index: number): string {
  const words = labels.result;
  const why = measurement.runs[index]?.set_aside;
  return why ? words.runAside(index + 1, why) : words.run(index + 1);
}

/** The check by the top of the fuel, if it was read. */
function Tops({ found, measurement }: Pick<FoundProps, "found" | "measurement">) {
  const words = labels.result;
  const places = [...measurement.runs.keys()].filter((at) => !measurement.runs[at]?.set_aside);
  const tops = found.runs.flatMap((run, at) => (run.top_content === null ? [] : [{ run, index: places[at] ?? at }]));
  if (tops.length === 0) return null;
  return (
    <ul>
      {tops.map(({ run, index }) => (
        <li key={index} class="hint">
          {pair(words.run(index + 1), words.byTop(percent(run.top_content ?? 0)))}
          {run.layers_agree ? words.layersAgree : words.layersDiffer}
        </li>
      ))}
    </ul>
  );
}
