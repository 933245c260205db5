/** A fill-up: what was in the tank, what was added, what the sensor shows. */

import { useRef, useState } from "preact/hooks";
import { content_of_frequency } from "../../chemistry/sensor";
import { labels } from "../../i18n";
import { newId } from "../../ids";
import { heldAfter, vehicleAfter } from "../../model/fill-ups";
import type { FilledPart, FillRow, InTank } from "../../rows/fill";
import type { VehicleRow } from "../../rows/vehicle";
import { newVehicle } from "../../rows/vehicle";
import { go, to } from "../../state/router";
import { saveFill, undoFill } from "../../store/fills";
import { readSource } from "../../store/sources";
import { bringFault } from "../../widgets/bring";
import { TextField } from "../../widgets/fields";
import { offerUndo } from "../../widgets/undo";
import { AskedTank } from "./asked-tank";
import { FillContent, type Filling, nameOf, UNKNOWN_FILLING } from "./fill-content";
import { SensorField } from "./sensor-field";
import { VolumeField } from "./volume-field";

/** %, suggested if the tank's content is unknown. */
const USUAL = 70;

/** The entries so far; give: the uncertainty of the gauge, L. */
interface Entry {
  before: InTank;
  give: number | null;
  volume: number | null;
  filling: Filling;
  /** % */
  sensed: number | null;
  note: string;
}

export function FillForm({ tank }: { tank: VehicleRow | undefined }) {
  const words = labels.fillUps;
  const [vehicle] = useState(() => tank ?? newVehicle(newId()));
  const [entry, setEntry] = useState(() => entryFor(vehicle));
  const [tried, setTried] = useState(false);
  const box = useRef<HTMLDivElement>(null);
  const change = (part: Partial<Entry>) => setEntry((old) => ({ ...old, ...part }));
  const fault = faultOf(entry, vehicle);
  const save = async () => {
    setTried(true);
    const { volume, filling } = entry;
    const isHalf = filling.content !== null && filling.expanded_uncertainty === null;
    if (fault || !volume || isHalf) return bringFault(box.current);
    const page = filling.source === null ? undefined : await readSource(filling.source);
    const part = { ...filling, volume, name: page ? nameOf(page) : "" };
    await keepFill(fillOf(entry, part, vehicle), vehicle, tank === undefined);
  };
  return (
    <div ref={box} class="form">
      <header class="head">
        <h1>{words.enter}</h1>
      </header>
      <BeforeFields entry={entry} change={change} isKnown={vehicle.content !== null} />
      <VolumeField
        label={labels.fuel.heel.volume}
        value={entry.volume}
        onValue={(volume) => change({ volume })}
        fault={tried || entry.volume ? fault : undefined}
      />
      <FillContent filling={entry.filling} onFilling={(filling) => change({ filling })} tried={tried} />
      {vehicle.sensor && (
        <section class="form" aria-label={words.sensor}>
          <h2>{words.sensor}</h2>
          <p class="hint">{words.sensorHint}</p>
          <SensorField
            expected={vehicle.content ?? USUAL}
            onFrequency={(hertz) => change({ sensed: hertz === null ? null : content_of_frequency(hertz) })}
          />
        </section>
      )}
      <TextField
        label={words.note}
        value={entry.note}
        onValue={(note) => change({ note })}
        maxLength={200}
        hint={words.noteHint}
      />
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

interface BeforeProps {
  entry: Entry;
  change: (part: Partial<Entry>) => void;
  /** The tank's content is entered. */
  isKnown: boolean;
}

/** What was in the tank: the litres by the gauge, and the content if it is not entered. */
function BeforeFields({ entry: { before, give }, change, isKnown }: BeforeProps) {
  const words = labels.fillUps;
  const { volume, content, expanded_uncertainty: uncertainty } = before;
  const set = (part: Partial<InTank>) => change({ before: { ...before, ...part } });
  return (
    <>
      <div class="form-pair">
        <VolumeField
          label={words.before}
          value={volume}
          onValue={(litres) => set({ volume: litres })}
          hint={volume === null ? words.beforeUnknown : words.beforeHint}
        />
        <VolumeField
          label={labels.fuel.heel.give}
          value={give}
          onValue={(litres) => change({ give: litres })}
          hint={labels.fuel.heel.giveHint}
        />
      </div>
      {!isKnown && volume !== 0 && (
        <AskedTank
          asked={{ volume, content, uncertainty }}
          onAsked={(asked) => set({ content: asked.content, expanded_uncertainty: asked.uncertainty })}
        />
      )}
    </>
  );
}

function entryFor({ volume, content, expanded_uncertainty }: VehicleRow): Entry {
  const before = { volume, content, expanded_uncertainty };
  return { before, give: null, volume: null, filling: UNKNOWN_FILLING, sensed: null, note: "" };
}

/** What is wrong with the litres. */
function faultOf({ before, volume }: Entry, { capacity }: VehicleRow): string | undefined {
  if (!volume) return labels.fillUps.volumeMissing;
  return capacity !== null && (before.volume ?? 0) + volume > capacity ? labels.fuel.tank.volumeFault : undefined;
}

function fillOf({ before, give, sensed, note }: Entry, part: FilledPart, vehicle: VehicleRow): FillRow {
  return {
    ...{ id: newId(), vehicle: vehicle.id, filled_at: new Date().toISOString(), added: [part], before },
    ...{ after: heldAfter(before, give, [part]), sensed, note: note.trim() },
  };
}

async function keepFill(fill: FillRow, vehicle: VehicleRow, isNew: boolean): Promise<void> {
  await saveFill(fill, vehicleAfter(vehicle, fill), []);
  go(["fuel", "fills"], true);
  offerUndo(labels.fillUps.saved, () => void undoFill(fill, vehicle, [], isNew));
}
