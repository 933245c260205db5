/** A can: when and where it was filled, how much is in it, and its content. */

import { useRef, useState } from "preact/hooks";
import { labels } from "../../i18n";
import { fromLocalField, toLocalField } from "../../i18n/local-time";
import { newId } from "../../ids";
import type { CanRow } from "../../rows/can";
import { go, to } from "../../state/router";
import { saveCan } from "../../store/cans";
import { bringFault } from "../../widgets/bring";
import { TextField } from "../../widgets/fields";
import { NumberField } from "../../widgets/number-field";
import { SourceChoice } from "../shared/source/source-choice";
import type { Holding } from "./can-age";
import { CanContent } from "./can-content";
import { VolumeField } from "./volume-field";

const RETEST_DAYS = 14;
const DAY_LENGTH = 10;
const UNKNOWN: Holding = { content: null, expanded_uncertainty: null, test: null, tested_at: null };

export function NewCan({ number }: { number: number }) {
  return (
    <>
      <header class="head">
        <h1>{labels.fuel.can.newTitle}</h1>
      </header>
      <CanForm can={null} number={number} onSaved={() => go(["fuel"], true)} onBack={() => go(["fuel"], true)} />
    </>
  );
}

export interface CanFormProps {
  can: CanRow | null;
  /** For the suggested name. */
  number: number;
  onSaved: () => void;
  onBack: () => void;
}

export function CanForm({ can, number, onSaved, onBack }: CanFormProps) {
  const words = labels.fuel.can;
  const [name, setName] = useState(can?.name ?? "");
  const [volume, setVolume] = useState<number | null>(can?.volume ?? null);
  const [capacity, setCapacity] = useState<number | null>(can?.capacity ?? null);
  const [filled, setFilled] = useState(toLocalField(new Date(can?.filled_at ?? Date.now())).slice(0, DAY_LENGTH));
  const [source, setSource] = useState(can?.source ?? null);
  const [holding, setHolding] = useState<Holding>(can ?? UNKNOWN);
  const [days, setDays] = useState<number | null>(can?.retest_days ?? RETEST_DAYS);
  const tooMuch = volume !== null && capacity !== null && volume > capacity;

  const [tried, setTried] = useState(false);
  const box = useRef<HTMLDivElement>(null);
  const filledAt = (fromLocalField(`${filled}T12:00`) ?? new Date()).toISOString();
  const isHalf = holding.content !== null && holding.expanded_uncertainty === null;
  const none = volume === null || volume === 0;
  const volumeFault = tooMuch ? words.volumeFault : tried && none ? words.volumeMissing : undefined;

  const save = async () => {
    setTried(true);
    if (none || tooMuch || isHalf) {
      bringFault(box.current);
      return;
    }
    const isNewTest = holding.test !== null && holding.test !== can?.test;
    await saveCan({
      id: can?.id ?? newId(),
      name: name.trim() || words.nameOffered(number),
      capacity,
      volume,
      source,
      filled_at: filledAt,
      opened_humid_at: isNewTest ? null : (can?.opened_humid_at ?? null),
      retest_days: days ?? RETEST_DAYS,
      emptied_at: null,
      ...wholeHolding(holding),
    });
    onSaved();
  };
  return (
    // No <form>: the source choice may contain one.
    <div ref={box} class="form">
      <TextField
        label={words.name}
        value={name}
        onValue={setName}
        maxLength={40}
        hint={words.nameHint}
        placeholder={words.nameOffered(number)}
      />
      <div class="form-pair">
        <VolumeField label={words.capacity} value={capacity} onValue={setCapacity} hint={words.capacityHint} />
        <VolumeField label={words.volume} value={volume} onValue={setVolume} fault={volumeFault} />
      </div>
      <TextField label={words.filledAt} type="date" value={filled} onValue={setFilled} maxLength={DAY_LENGTH} />
      <section class="field">
        <h2>{words.source}</h2>
        <SourceChoice
          optional
          chosen={source}
          onChosen={(next) => {
            setSource(next);
            if (holding.test !== null) setHolding(UNKNOWN);
          }}
        />
      </section>
      <CanContent
        can={can}
        source={source}
        filledAt={filledAt}
        holding={holding}
        onHolding={setHolding}
        tried={tried}
      />
      <NumberField
        label={words.retest}
        unit={words.days}
        value={days}
        onValue={setDays}
        step={1}
        min={1}
        max={365}
        offered={RETEST_DAYS}
      />
      <div class="buttons">
        <button type="button" class="main" onClick={() => void save()}>
          {words.save}
        </button>
        {can ? (
          <button type="button" class="plain" onClick={onBack}>
            {words.cancel}
          </button>
        ) : (
          <a class="button plain" href={to("fuel")}>
            {labels.fuel.back}
          </a>
        )}
      </div>
    </div>
  );
}

/** Only these four fields: a form that changes a can has them all. */
function wholeHolding({ content, expanded_uncertainty, test, tested_at }: Holding): Holding {
  return { content, expanded_uncertainty: content === null ? null : expanded_uncertainty, test, tested_at };
}
