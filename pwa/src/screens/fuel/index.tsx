/** The place Fuel: the vehicles, the tank, what to add, the sensor, the cans. None of it leaves the phone. */

import "./fuel.css";
import { labels } from "../../i18n";
import type { CanRow } from "../../rows/can";
import { inUse, type Vehicles } from "../../rows/vehicle";
import { useStored } from "../../state/hooks";
import { listCans } from "../../store/cans";
import { loadVehicles } from "../../store/vehicles";
import type { ScreenProps } from "../../widgets/lazy";
import { Missing } from "../../widgets/missing";
import { SideBySide, useWide } from "../../widgets/side-by-side";
import { Waiting } from "../../widgets/waiting";
import { NewCan } from "./can-form";
import { CanLabel } from "./can-label";
import { CanPage } from "./can-page";
import { CansList } from "./cans-list";
import { EngineView } from "./engine-view";
import { FillForm } from "./fill-form";
import { FillsPage } from "./fills-page";
import { HeelView } from "./heel-view";
import { ReachView } from "./reach-view";
import { SensorCheck } from "./sensor-check";
import { TankForm } from "./tank-form";
import { TankView } from "./tank-view";
import { VehicleChoice } from "./vehicle-choice";
import { VehicleForm } from "./vehicle-form";

export default function FuelScreen({ path }: ScreenProps) {
  const [, place, id, part] = path;
  const vehicles = useStored(loadVehicles, ["settings"]);
  const cans = useStored(listCans, ["cans"]);
  const wide = useWide();
  if (!vehicles || !cans) return <Waiting word={labels.fuel.loading} />;
  const tank = inUse(vehicles);
  const can = cans.find((one) => one.id === id);
  if (can && part === "label") return <CanLabel can={can} />;
  const list = (
    <>
      <header class="head">
        <h1>{labels.fuel.title}</h1>
        <p class="quiet">{labels.fuel.private}</p>
      </header>
      <VehicleChoice vehicles={vehicles} />
      {!wide && <TankView tank={tank} />}
      <CansList cans={cans} />
    </>
  );
  const page = place === "can" && id ? canPage(id, can, cans.length) : vehiclePage(place, id, vehicles, cans);
  return <SideBySide list={list} page={page} first={<TankView tank={tank} />} />;
}

function vehiclePage(place: string | undefined, id: string | undefined, vehicles: Vehicles, cans: readonly CanRow[]) {
  const tank = inUse(vehicles);
  if (place === "vehicle")
    return <VehicleForm key={id} row={id === "new" ? null : (tank ?? null)} vehicles={vehicles} />;
  if (place === "tank") return <TankForm tank={tank} />;
  if (place === "reach") return <ReachView tank={tank} cans={cans} />;
  if (place === "sensor") return <SensorCheck tank={tank} />;
  if (place === "fill") return <FillForm key={tank?.id} tank={tank} />;
  if (place === "fills") return <FillsPage vehicles={vehicles} />;
  if (place === "engine") return <EngineView tank={tank} />;
  return place === "heel" ? <HeelView tank={tank} /> : null;
}

function canPage(id: string, can: CanRow | undefined, known: number) {
  if (id === "new") return <NewCan number={known + 1} />;
  if (!can) return <Missing title={labels.fuel.can.missing} back={labels.fuel.back} place="fuel" />;
  return <CanPage key={id} can={can} />;
}
