/** One tube: what is known about it, the ways to find out more, its tests, and its history. */

import { labels } from "../../i18n";
import { day, mL, number } from "../../i18n/format";
import { isOld, lacksContent } from "../../model/sample";
import type { TubeRow } from "../../rows/tube";
import { to } from "../../state/router";
import { putAway } from "../../store/tubes";
import { SwitchField } from "../../widgets/fields";
import { Pairs } from "../../widgets/pairs";
import { offerUndo } from "../../widgets/undo";
import {
  changeText,
  excessText,
  isContradicted,
  knownText,
  markText,
  offsetText,
  scaleOrigin,
  scaleText,
  stepText,
  volumeText,
} from "../shared/tube-words";
import { Compared } from "./compared";
import type { TubeProps } from "./props";
import { TestsMade } from "./tests-made";

export function TubePage({ row }: TubeProps) {
  const words = labels.tubes;
  return (
    <>
      <p>
        <a class="button plain" href={to("tubes")}>
          {words.all}
        </a>
      </p>
      <header class="head">
        <h1>{row.name}</h1>
        <p class="quiet">{words.mark(scaleText(row.scale), mL(row.water_mark, 0), mL(row.fuel_mark, 0))}</p>
      </header>
      <TestsMade row={row} />
      <Known row={row} />
      <Compared tube={row.id} />
      <Acts row={row} />
      {row.history.length > 0 && <History row={row} />}
      <section class="leaf">
        <SwitchField
          label={words.putAway}
          hint={words.putAwayHint}
          checked={row.put_away}
          onChecked={(away) => {
            void putAway(row.id, away);
            if (away) offerUndo(labels.parts.undo.tube, () => void putAway(row.id, false));
          }}
        />
      </section>
    </>
  );
}

function Known({ row }: TubeProps) {
  const words = labels.tubes.known;
  return (
    <section class="leaf">
      <h2>{words.title}</h2>
      {row.scale === "unknown" && <p class="warning">{words.scaleOpen}</p>}
      {isContradicted(row) && <p class="warning">{words.scaleDiffers}</p>}
      {isOld(row) && <p class="warning">{words.offsetOld}</p>}
      {!isOld(row) && lacksContent(row) && <p class="warning">{words.offsetBefore}</p>}
      <Pairs
        of={[
          [words.scale, <Noted text={scaleText(row.scale)} note={scaleOrigin(row)} />],
          [words.graduation, stepText(row, row.graduation)],
          [words.fill, words.fillText(markText(row.water_mark), markText(row.fuel_mark))],
          [words.liquid, labels.test.tubeForm.liquid[row.liquid]],
          [words.tolerance, toleranceOf(row)],
          ...markPairs(row),
          [words.offset, offsetOf(row)],
        ]}
      />
    </section>
  );
}

function Noted({ text, note }: { text: string; note: string }) {
  return (
    <>
      {text}
      <small>{note}</small>
    </>
  );
}

function toleranceOf({ tolerance, calibration }: TubeRow) {
  const words = labels.tubes.known;
  if (tolerance === null) return words.toleranceNone;
  const text = words.plusMinus(markText(tolerance));
  return calibration.length > 0 ? <Noted text={text} note={words.toleranceWeighed} /> : text;
}

function markPairs({ calibration }: TubeRow) {
  const words = labels.tubes.known;
  if (calibration.length === 0) return [[words.markNone, words.markUnweighed] as const];
  return calibration.map(
    (mark) => [words.mark(markText(mark.nominal)), <Noted text={volumeText(mark)} note={excessText(mark)} />] as const,
  );
}

function offsetOf({ sample, offset, offset_uncertainty }: TubeRow) {
  const words = labels.tubes.known;
  if (sample === null) return words.offsetNone;
  const note = words.offsetFrom(knownText(sample), day(sample.taken_at));
  return <Noted text={offsetText(offset, offset_uncertainty)} note={note} />;
}

function Acts({ row }: TubeProps) {
  const words = labels.tubes.acts;
  const isPercent = row.scale !== "volume" && row.liquid === "water";
  return (
    <section class="leaf">
      <h2>{words.title}</h2>
      <div class="buttons">
        {isPercent && (
          <a class="button" href={to("tubes", row.id, "scale")}>
            {words.check}
          </a>
        )}
        <a class="button" href={to("tubes", row.id, "weigh")}>
          {words.weigh}
        </a>
        <a class="button" href={to("tubes", row.id, "sample")}>
          {words.sample}
        </a>
        <a class="button" href={to("tubes", row.id, "edit")}>
          {words.edit}
        </a>
      </div>
    </section>
  );
}

function History({ row }: TubeProps) {
  const words = labels.tubes.history;
  return (
    <details class="more leaf">
      <summary>
        {words.title} ({number(row.history.length, 0)})
      </summary>
      <ol class="tube-history">
        {row.history.toReversed().map((change) => (
          <li key={change.at + change.what + changeText(change, row)}>
            <span class="quiet">{day(change.at)}</span> {changeText(change, row)}
          </li>
        ))}
        <li>
          <span class="quiet">{day(row.made_at)}</span> {words.made}
        </li>
      </ol>
    </details>
  );
}
