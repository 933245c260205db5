/** A vehicle: its name, its tank, whether it has a sensor, and the content its tune requires. */

import { useRef, useState } from "preact/hooks";
import { labels } from "../../i18n";
import { volume as volumeText } from "../../i18n/format";
import { newId } from "../../ids";
import { isNoTank, MOST_TANK } from "../../model/tank";
import type { VehicleRow } from "../../rows/vehicle";
import { inUse, newVehicle, type Vehicles } from "../../rows/vehicle";
import { go, to } from "../../state/router";
import { settings } from "../../state/signals";
import { dropVehicle, restoreVehicle } from "../../store/fills";
import { saveVehicle } from "../../store/vehicles";
import { bringFault } from "../../widgets/bring";
import { SwitchField, TextField } from "../../widgets/fields";
import { NumberField } from "../../widgets/number-field";
import { offerUndo } from "../../widgets/undo";
import { vehicleName } from "../shared/vehicle-name";
import { VolumeField } from "./volume-field";

/** row: null for a new one. */
export function VehicleForm({ row, vehicles }: { row: VehicleRow | null; vehicles: Vehicles }) {
  const words = labels.vehicles;
  const { rows } = vehicles;
  const [name, setName] = useState(row?.name ?? "");
  const [capacity, setCapacity] = useState(row?.capacity ?? null);
  const [sensor, setSensor] = useState(row?.sensor ?? true);
  const [minimum, setMinimum] = useState(row?.minimum ?? null);
  const box = useRef<HTMLDivElement>(null);
  const offered = row ? vehicleName({ ...row, name: "" }, rows) : words.offered(rows.length + 1);
  const fault = faultOf(capacity, row?.volume ?? null);
  const save = async () => {
    if (fault) return bringFault(box.current);
    const old = row ?? newVehicle(newId());
    await saveVehicle({ ...old, name: name.trim() || (row ? "" : offered), capacity, sensor, minimum });
    go(["fuel"], true);
  };
  return (
    <div ref={box} class="form">
      <header class="head">
        <h1>{row ? vehicleName(row, rows) : words.newTitle}</h1>
      </header>
      <TextField
        label={words.name}
        value={name}
        onValue={setName}
        maxLength={40}
        hint={words.nameHint}
        placeholder={offered}
      />
      <VolumeField label={labels.fuel.tank.capacity} value={capacity} onValue={setCapacity} fault={fault} />
      <SwitchField label={words.sensor} checked={sensor} onChecked={setSensor} />
      <NumberField
        label={words.minimum}
        unit="%"
        value={minimum}
        onValue={setMinimum}
        step={1}
        min={0}
        max={100}
        offered={70}
        hint={words.minimumHint}
      />
      <div class="buttons">
        <button type="button" class="main" onClick={() => void save()}>
          {words.save}
        </button>
        <a class="button plain" href={to("fuel")}>
          {labels.fuel.back}
        </a>
        {row && (
          <button type="button" class="plain" onClick={() => void remove(row, vehicles)}>
            {words.remove}
          </button>
        )}
      </div>
    </div>
  );
}

function faultOf(capacity: number | null, volume: number | null): string | undefined {
  const words = labels.fuel.tank;
  if (isNoTank(capacity)) return words.capacityFault(volumeText(MOST_TANK, settings.value, 0));
  return capacity !== null && volume !== null && volume > capacity ? words.volumeFault : undefined;
}

async function remove(row: VehicleRow, vehicles: Vehicles): Promise<void> {
  const name = vehicleName(row, vehicles.rows);
  const wasInUse = inUse(vehicles)?.id === row.id;
  const fills = await dropVehicle(row.id);
  go(["fuel"], true);
  offerUndo(labels.vehicles.removed(name), () => void restoreVehicle(row, fills, wasInUse));
}
