/** What is in the tank: litres, and a content with its uncertainty, from a test of the tank or typed. */

import { useState } from "preact/hooks";
import { labels } from "../../i18n";
import { day, volume as volumeText, withUncertainty } from "../../i18n/format";
import { newId } from "../../ids";
import { isNoTank, MOST_TANK } from "../../model/tank";
import type { VehicleRow } from "../../rows/vehicle";
import { newVehicle } from "../../rows/vehicle";
import { useStored } from "../../state/hooks";
import { go } from "../../state/router";
import { settings } from "../../state/signals";
import { listTests } from "../../store/tests";
import { saveVehicle } from "../../store/vehicles";
import { ContentFields } from "./content-fields";
import { VolumeField } from "./volume-field";

/** How many recent tests to search for a test of the tank. */
const RECENT = 50;

export function TankForm({ tank }: { tank: VehicleRow | undefined }) {
  const words = labels.fuel.tank;
  const [capacity, setCapacity] = useState(tank?.capacity ?? null);
  const [volume, setVolume] = useState(tank?.volume ?? null);
  const [content, setContent] = useState(tank?.content ?? null);
  const [uncertainty, setUncertainty] = useState(tank?.expanded_uncertainty ?? null);
  const [tried, setTried] = useState(false);
  const recent = useStored(() => listTests({ limit: RECENT }), ["own_tests"]);
  const tested = recent?.lines.find(({ row }) => row.test.sampled === "tank" && !row.retracted)?.row.test;

  const tooMuch = capacity !== null && volume !== null && volume > capacity;
  const halfKnown = content !== null && uncertainty === null;
  const save = async () => {
    setTried(true);
    if (tooMuch || halfKnown || isNoTank(capacity)) return;
    const expanded_uncertainty = content === null ? null : uncertainty;
    const entered = { capacity, volume, content, expanded_uncertainty, changed_at: new Date().toISOString() };
    await saveVehicle({ ...(tank ?? newVehicle(newId())), ...entered });
    go(["fuel"], true);
  };
  return (
    <form
      class="form"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void save();
      }}
    >
      <header class="head">
        <h1>{words.formTitle}</h1>
      </header>
      <div class="form-pair">
        <VolumeField
          label={words.capacity}
          value={capacity}
          onValue={setCapacity}
          fault={isNoTank(capacity) ? words.capacityFault(volumeText(MOST_TANK, settings.value, 0)) : undefined}
        />
        <VolumeField
          label={words.volume}
          value={volume}
          onValue={setVolume}
          fault={tooMuch ? words.volumeFault : undefined}
        />
      </div>
      {tested && (
        <div class="field">
          <p class="field-label">{words.fromTest}</p>
          <button
            type="button"
            onClick={() => {
              setContent(Number(tested.content.toFixed(1)));
              setUncertainty(Number(tested.expanded_uncertainty.toFixed(1)));
            }}
          >
            {words.fromTestLine(withUncertainty(tested.content, tested.expanded_uncertainty), day(tested.sampled_at))}
          </button>
        </div>
      )}
      <ContentFields
        content={content}
        uncertainty={uncertainty}
        onContent={setContent}
        onUncertainty={setUncertainty}
        tried={tried}
      />
      <div class="buttons">
        <button type="submit" class="main">
          {words.save}
        </button>
        <a class="button plain" href="#/fuel">
          {labels.fuel.back}
        </a>
      </div>
    </form>
  );
}
