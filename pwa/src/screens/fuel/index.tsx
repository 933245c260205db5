/** The place Fuel: the tank, what to add, the sensor, the cans. Nothing of it leaves the phone. */

import "./fuel.css";
import { labels } from "../../labels";
import { Missing } from "../../parts/missing";
import { SideBySide, useWide } from "../../parts/side-by-side";
import { Waiting } from "../../parts/waiting";
import type { ScreenProps } from "../../shell/later";
import { listCans, loadTank } from "../../store/cans";
import type { CanRow, Tank } from "../../store/schema";
import { useStored } from "../../use";
import { NewCan } from "./can-form";
import { CanLabel } from "./can-label";
import { CanPage } from "./can-page";
import { CansList } from "./cans-list";
import { HeelView } from "./heel-view";
import { ReachView } from "./reach-view";
import { SensorCheck } from "./sensor-check";
import { TankForm } from "./tank-form";
import { TankView } from "./tank-view";

export default function FuelScreen({ path }: ScreenProps) {
  const [, place, id, part] = path;
  const tank = useStored(async () => ({ found: await loadTank() }), ["settings"]);
  const cans = useStored(listCans, ["cans"]);
  const wide = useWide();
  if (!tank || !cans) return <Waiting word={labels.fuel.loading} />;
  const can = cans.find((one) => one.id === id);
  if (can && part === "label") return <CanLabel can={can} />;
  const list = (
    <>
      <header class="head">
        <h1>{labels.fuel.title}</h1>
        <p class="quiet">{labels.fuel.private}</p>
      </header>
      {!wide && <TankView tank={tank.found} />}
      <CansList cans={cans} />
    </>
  );
  const page = place === "can" && id ? canPage(id, can, cans.length) : tankPage(place, tank.found, cans);
  return <SideBySide list={list} page={page} first={<TankView tank={tank.found} />} />;
}

function tankPage(place: string | undefined, tank: Tank | undefined, cans: readonly CanRow[]) {
  if (place === "tank") return <TankForm tank={tank} />;
  if (place === "reach") return <ReachView tank={tank} cans={cans} />;
  if (place === "sensor") return <SensorCheck tank={tank} />;
  return place === "heel" ? <HeelView tank={tank} /> : null;
}

function canPage(id: string, can: CanRow | undefined, known: number) {
  if (id === "new") return <NewCan number={known + 1} />;
  if (!can) return <Missing title={labels.fuel.can.missing} back={labels.fuel.back} place="fuel" />;
  return <CanPage key={id} can={can} />;
}
