/** What to add to the tank to reach a content: the least needed, or all that fits, split between two stocks. */

import { useState } from "preact/hooks";
import type { Part } from "../../chemistry/blend";
import { labels } from "../../i18n";
import { volume as litres, withUncertainty } from "../../i18n/format";
import { newId } from "../../ids";
import { partsOf, vehicleAfter } from "../../model/fill-ups";
import { canAfter, planOf, roomOf, tankPart, type Way } from "../../model/tank";
import type { CanRow } from "../../rows/can";
import type { FillRow } from "../../rows/fill";
import type { VehicleRow } from "../../rows/vehicle";
import { newVehicle } from "../../rows/vehicle";
import { go, to } from "../../state/router";
import { settings } from "../../state/signals";
import { saveFill, undoFill } from "../../store/fills";
import { ChoiceRow } from "../../widgets/choice-row";
import { NumberField } from "../../widgets/number-field";
import { offerUndo } from "../../widgets/undo";
import { EMPTY_ADDED } from "./added-fields";
import { AskedTank } from "./asked-tank";
import { PlanView } from "./plan-view";
import { StockChoice, useStocks } from "./stock-choice";
import { VolumeField } from "./volume-field";

/** %, suggested if no minimum is set. */
const USUAL_TARGET = 80;
const WAYS: readonly Way[] = ["least", "two"];

interface ReachProps {
  tank: VehicleRow;
  part: Part;
  cans: readonly CanRow[];
  /** The vehicle is created together with the addition. */
  isNew: boolean;
}

/** If no tank is entered it is typed here, and saved once something was added. */
export function ReachView({ tank, cans }: { tank: VehicleRow | undefined; cans: readonly CanRow[] }) {
  const words = labels.fuel.reach;
  const [fresh] = useState(() => newVehicle(newId()));
  const [asked, setAsked] = useState(EMPTY_ADDED);
  const { volume, content, uncertainty } = asked;
  const known = tankPart(tank);
  const here = known && tank ? tank : { ...(tank ?? fresh), volume, content, expanded_uncertainty: uncertainty };
  const part = known ?? tankPart(here);
  return (
    <div class="form">
      <header class="head">
        <h1>{words.title}</h1>
        {known && known.volume > 0 && (
          <p class="quiet">
            {words.now(
              withUncertainty(known.content, known.expanded_uncertainty),
              litres(known.volume, settings.value),
            )}
          </p>
        )}
      </header>
      {!known && <AskedTank litres asked={asked} onAsked={setAsked} />}
      {part && <Reach tank={here} part={part} cans={cans} isNew={tank === undefined} />}
      <a class="button plain" href={to("fuel")}>
        {labels.fuel.back}
      </a>
    </div>
  );
}

function Reach({ tank, part, cans, isNew }: ReachProps) {
  const words = labels.fuel.reach;
  const [way, setWay] = useState<Way>("least");
  const [target, setTarget] = useState<number | null>(settings.value.own_minimum ?? USUAL_TARGET);
  const [room, setRoom] = useState<number | null>(roomOf(tank));
  const hand = useStocks(cans);

  const plan = target === null || room === null ? null : planOf(way, part, room, target, hand.used);
  const carryOut = async () => {
    if (!plan) return;
    const now = new Date();
    const emptier = hand.used.flatMap((stock, index) => {
      const can = cans.find((one) => one.id === stock.key);
      const taken = plan.additions[index] ?? 0;
      return can && taken > 0 ? [canAfter(can, taken, now)] : [];
    });
    const { volume, content, expanded_uncertainty } = plan.blend;
    const fill: FillRow = {
      ...{ id: newId(), vehicle: tank.id, filled_at: now.toISOString(), sensed: null, note: "" },
      before: { volume: tank.volume, content: tank.content, expanded_uncertainty: tank.expanded_uncertainty },
      added: partsOf(plan, hand.used, cans),
      after: { volume, content, expanded_uncertainty },
    };
    await saveFill(fill, vehicleAfter(tank, fill), emptier);
    go(["fuel"], true);
    const fuller = cans.filter((can) => emptier.some((one) => one.id === can.id));
    offerUndo(labels.fillUps.saved, () => void undoFill(fill, tank, fuller, isNew));
  };
  return (
    <>
      <NumberField label={words.target} unit="%" value={target} onValue={setTarget} step={1} min={0} max={100} />
      <ChoiceRow
        legend={words.wayAsk}
        value={way}
        onValue={setWay}
        options={WAYS.map((value) => ({ value, label: words.way[value] }))}
        hint={words.wayHint[way]}
      />
      <VolumeField label={way === "two" ? words.addition : words.room} value={room} onValue={setRoom} />
      <StockChoice hand={hand} missing={missingOf(way, hand.used.length)} />
      {plan && <PlanView plan={plan} way={way} stocks={hand.used} onDone={() => void carryOut()} />}
    </>
  );
}

function missingOf(way: Way, used: number): string | null {
  const words = labels.fuel.reach;
  if (way === "two") return used === 2 ? null : words.twoNeeded;
  return used === 0 ? words.stocksNone : null;
}
