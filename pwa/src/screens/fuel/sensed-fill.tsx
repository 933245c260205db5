/** What the sensor shows, saved with the last fill-up if that has no reading yet. */

import { useState } from "preact/hooks";
import { labels } from "../../i18n";
import { day } from "../../i18n/format";
import { useStored } from "../../state/hooks";
import { listFills, putFill } from "../../store/fills";

/** sensed: % */
export function SensedFill({ vehicle, sensed }: { vehicle: string; sensed: number }) {
  const words = labels.fillUps;
  const last = useStored(() => listFills(vehicle), ["fills"], [vehicle])?.at(-1);
  const [done, setDone] = useState(false);
  if (done) return <p role="status">{words.withFillDone}</p>;
  if (last === undefined || last.sensed !== null) return null;
  const act = async () => {
    await putFill({ ...last, sensed });
    setDone(true);
  };
  return (
    <button type="button" onClick={() => void act()}>
      {words.withFill(day(last.filled_at))}
    </button>
  );
}
