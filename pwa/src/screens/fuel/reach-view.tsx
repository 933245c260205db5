/** What to add to the tank, from which cans and pumps, to reach a content. */

import { useMemo, useState } from "preact/hooks";
import { type Plan, reach } from "../../chemistry/blend";
import { volume as litres, withUncertainty } from "../../format";
import { labels } from "../../labels";
import { settings } from "../../live";
import { SwitchField } from "../../parts/fields";
import { NumberField } from "../../parts/number-field";
import { go, to } from "../../router";
import { saveCan, saveTank } from "../../store/cans";
import { listFigures } from "../../store/figures";
import type { CanRow, Tank } from "../../store/schema";
import { useStored } from "../../use";
import { SourceChoice } from "../test/source-choice";
import { PlanView } from "./plan-view";
import { canAfter, canStock, pumpStock, roomOf, type Stock, tankAfter, tankPart } from "./tank-state";
import { VolumeField } from "./volume-field";

/** %, offered when one's own minimum is not set. */
const USUAL_TARGET = 80;

export function ReachView({ tank, cans }: { tank: Tank | undefined; cans: readonly CanRow[] }) {
  const words = labels.fuel.reach;
  const figures = useStored(listFigures, ["figures"]);
  const part = tankPart(tank);
  const [target, setTarget] = useState<number | null>(settings.value.own_minimum ?? USUAL_TARGET);
  const [room, setRoom] = useState<number | null>(roomOf(tank));
  const [left, setLeft] = useState<readonly string[]>([]);
  const [pump, setPump] = useState<string | null>(null);

  const offered = useMemo(() => cans.map(canStock).filter((one) => one !== null), [cans]);
  const row = figures?.find((one) => one.source === pump);
  const pumped = row ? pumpStock(row) : null;
  const stocks = [...offered.filter((one) => !left.includes(one.key)), ...(pumped ? [pumped] : [])];

  if (!part || !tank) {
    return (
      <>
        <p>{labels.fuel.tank.contentUnknown}</p>
        <a class="button" href={to("fuel", "tank")}>
          {labels.fuel.tank.enter}
        </a>
      </>
    );
  }
  const plan = target !== null && room !== null && stocks.length > 0 ? planOf(part, room, target, stocks) : null;
  const carryOut = async () => {
    if (!plan) return;
    const now = new Date();
    await saveTank(tankAfter(tank, plan, now));
    for (const [index, stock] of stocks.entries()) {
      const can = cans.find((one) => one.id === stock.key);
      const taken = plan.additions[index] ?? 0;
      if (can && taken > 0) await saveCan(canAfter(can, taken, now));
    }
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
      <VolumeField label={words.room} value={room} onValue={setRoom} />
      <section class="form" aria-label={words.stocks}>
        <h2>{words.stocks}</h2>
        <div>
          {offered.map((stock) => (
            <SwitchField
              key={stock.key}
              label={lineOf(stock)}
              hint={words.can(litres(stock.part.volume, settings.value))}
              checked={!left.includes(stock.key)}
              onChecked={(used) => setLeft(used ? left.filter((key) => key !== stock.key) : [...left, stock.key])}
            />
          ))}
          {pumped && <SwitchField label={lineOf(pumped)} hint={words.pump} checked onChecked={() => setPump(null)} />}
        </div>
        {!pumped && (
          <details class="more">
            <summary>{words.addPump}</summary>
            <SourceChoice chosen={pump} onChosen={setPump} tested />
          </details>
        )}
        {stocks.length === 0 && <p>{words.stocksNone}</p>}
      </section>
      {plan && <PlanView plan={plan} stocks={stocks} onDone={() => void carryOut()} />}
      <a class="button plain" href={to("fuel")}>
        {labels.fuel.back}
      </a>
    </div>
  );
}

function planOf(tank: Parameters<typeof reach>[0], room: number, target: number, stocks: readonly Stock[]): Plan {
  return reach(
    tank,
    room,
    target,
    stocks.map((stock) => stock.part),
  );
}

function lineOf(stock: Stock): string {
  return `${stock.name}: ${withUncertainty(stock.part.content, stock.part.expanded_uncertainty)}`;
}
