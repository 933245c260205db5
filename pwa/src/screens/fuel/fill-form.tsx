/** A fill-up: what was in the tank, what went in, what the sensor shows. */

import { useRef, useState } from "preact/hooks";
import { content_of_frequency } from "../../chemistry/sensor";
import { heldAfter, vehicleAfter } from "../../fill-ups";
import { newId } from "../../ids";
import { labels } from "../../labels";
import { bringFault } from "../../parts/bring";
import { TextField } from "../../parts/fields";
import { offerUndo } from "../../parts/undo";
import { go, to } from "../../router";
import type { FilledPart, FillRow, InTank } from "../../store/fill-row";
import { saveFill, undoFill } from "../../store/fills";
import type { VehicleRow } from "../../store/schema";
import { readSource } from "../../store/sources";
import { newVehicle } from "../../store/vehicle-row";
import { EMPTY_ADDED } from "./added-fields";
import { AskedTank } from "./asked-tank";
import { FillContent, nameOf, UNKNOWN_FILLING } from "./fill-content";
import { SensorField } from "./sensor-field";
import { VolumeField } from "./volume-field";

/** %, offered where the tank's content is not known. */
const USUAL = 70;

export function FillForm({ tank }: { tank: VehicleRow | undefined }) {
  const words = labels.fillUps;
  const [vehicle] = useState(() => tank ?? newVehicle(newId()));
  const [whole, setWhole] = useState(vehicle.volume);
  const [give, setGive] = useState<number | null>(null);
  const [asked, setAsked] = useState(EMPTY_ADDED);
  const [volume, setVolume] = useState<number | null>(null);
  const [filling, setFilling] = useState(UNKNOWN_FILLING);
  const [frequency, setFrequency] = useState<number | null>(null);
  const [note, setNote] = useState("");
  const [tried, setTried] = useState(false);
  const box = useRef<HTMLDivElement>(null);

  const isKnown = vehicle.content !== null;
  const { content, expanded_uncertainty } = isKnown
    ? vehicle
    : { content: asked.content, expanded_uncertainty: asked.uncertainty };
  const before: InTank = { volume: whole, content, expanded_uncertainty };
  const none = !volume;
  const tooMuch = vehicle.capacity !== null && (whole ?? 0) + (volume ?? 0) > vehicle.capacity;
  const isHalf = filling.content !== null && filling.expanded_uncertainty === null;
  const save = async () => {
    setTried(true);
    if (none || tooMuch || isHalf) return bringFault(box.current);
    const page = filling.source === null ? undefined : await readSource(filling.source);
    const added: FilledPart[] = [{ ...filling, volume, name: page ? nameOf(page) : "" }];
    const fill: FillRow = {
      ...{ id: newId(), vehicle: vehicle.id, filled_at: new Date().toISOString(), added, before },
      after: heldAfter(before, give, added),
      sensed: frequency === null ? null : content_of_frequency(frequency),
      note: note.trim(),
    };
    await keepFill(fill, vehicle, tank === undefined);
  };
  return (
    <div ref={box} class="form">
      <header class="head">
        <h1>{words.enter}</h1>
      </header>
      <div class="form-pair">
        <VolumeField
          label={words.before}
          value={whole}
          onValue={setWhole}
          hint={whole === null ? words.beforeUnknown : words.beforeHint}
        />
        <VolumeField label={labels.fuel.heel.give} value={give} onValue={setGive} hint={labels.fuel.heel.giveHint} />
      </div>
      {!isKnown && whole !== 0 && <AskedTank asked={asked} onAsked={setAsked} />}
      <VolumeField
        label={labels.fuel.heel.volume}
        value={volume}
        onValue={setVolume}
        fault={tooMuch ? labels.fuel.tank.volumeFault : tried && none ? words.volumeMissing : undefined}
      />
      <FillContent filling={filling} onFilling={setFilling} tried={tried} />
      {vehicle.sensor && (
        <section class="form" aria-label={words.sensor}>
          <h2>{words.sensor}</h2>
          <p class="hint">{words.sensorHint}</p>
          <SensorField expected={vehicle.content ?? USUAL} onFrequency={setFrequency} />
        </section>
      )}
      <TextField label={words.note} value={note} onValue={setNote} maxLength={200} hint={words.noteHint} />
      <div class="buttons">
        <button type="button" class="main" onClick={() => void save()}>
          {words.save}
        </button>
        <a class="button plain" href={to("fuel")}>
          {labels.fuel.back}
        </a>
      </div>
    </div>
  );
}

async function keepFill(fill: FillRow, vehicle: VehicleRow, isNew: boolean): Promise<void> {
  await saveFill(fill, vehicleAfter(vehicle, fill), []);
  go(["fuel", "fills"], true);
  offerUndo(labels.fillUps.saved, () => void undoFill(fill, vehicle, [], isNew));
}
