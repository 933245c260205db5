/** What to add to the tank to reach a content: as little as it takes, or all that fits, split between two stocks. */

import { useState } from "preact/hooks";
import type { Part } from "../../chemistry/blend";
import { volume as litres, withUncertainty } from "../../format";
import { labels } from "../../labels";
import { settings } from "../../live";
import { ChoiceRow } from "../../parts/choice-row";
import { NumberField } from "../../parts/number-field";
import { go, to } from "../../router";
import type { CanRow, VehicleRow } from "../../store/schema";
import { saveAdded } from "../../store/vehicles";
import { canAfter, planOf, roomOf, tankAfter, tankPart, type Way } from "../../tank";
import { ContentUnknown } from "./content-unknown";
import { PlanView } from "./plan-view";
import { StockChoice, useStocks } from "./stock-choice";
import { VolumeField } from "./volume-field";

/** %, offered when one's own minimum is not set. */
const USUAL_TARGET = 80;
const WAYS: readonly Way[] = ["least", "two"];

export function ReachView({ tank, cans }: { tank: VehicleRow | undefined; cans: readonly CanRow[] }) {
  const part = tankPart(tank);
  if (part && tank) return <Reach tank={tank} part={part} cans={cans} />;
  return <ContentUnknown title={labels.fuel.reach.title} />;
}

function Reach({ tank, part, cans }: { tank: VehicleRow; part: Part; cans: readonly CanRow[] }) {
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
    await saveAdded(tankAfter(tank, plan, now), emptier);
    go(["fuel"], true);
  };
  return (
    <div class="form">
      <header class="head">
        <h1>{words.title}</h1>
        {part.volume > 0 && (
          <p class="quiet">
            {words.now(withUncertainty(part.content, part.expanded_uncertainty), litres(part.volume, settings.value))}
          </p>
        )}
      </header>
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
      <a class="button plain" href={to("fuel")}>
        {labels.fuel.back}
      </a>
    </div>
  );
}

function missingOf(way: Way, used: number): string | null {
  const words = labels.fuel.reach;
  if (way === "two") return used === 2 ? null : words.twoNeeded;
  return used === 0 ? words.stocksNone : null;
}
