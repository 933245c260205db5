/** The tubes one owns. */

import { mL } from "../../format";
import { labels } from "../../labels";
import { SwitchField } from "../../parts/fields";
import { to } from "../../router";
import type { TubeRow } from "../../store/schema";
import { saveSettings } from "../../store/settings";
import { addTube, editTube, listTubes, putAway, readTube, type TubeEntry } from "../../store/tubes";
import { useStored } from "../../use";
import { TubeForm } from "../test/tube-form";

export function Tubes() {
  const words = labels.log.tube;
  const tubes = useStored(listTubes, ["tubes"]);
  return (
    <div class="form">
      <header class="head">
        <h1>{words.title}</h1>
        <p class="quiet">{words.lead}</p>
      </header>
      {tubes?.length === 0 && <p>{words.none}</p>}
      {tubes !== undefined && tubes.length > 0 && (
        <ul class="row-list">
          {tubes.map((tube) => (
            <li key={tube.id}>
              <TubeLine tube={tube} />
            </li>
          ))}
        </ul>
      )}
      <div class="buttons">
        <a class="button" href={to("tubes", "new")}>
          {words.add}
        </a>
        <a class="button plain" href={to("log")}>
          {labels.common.back}
        </a>
      </div>
    </div>
  );
}

function TubeLine({ tube }: { tube: TubeRow }) {
  const { label } = labels.test.tubeForm.scale[tube.scale];
  const { tube: words } = labels.log;
  return (
    <a class="row" href={to("tubes", tube.id)}>
      <span />
      <span class="row-main">
        <span class="row-name">{tube.name}</span>
        <span class="row-note">{words.mark(label, mL(tube.water_mark, 0), mL(tube.fuel_mark, 0))}</span>
      </span>
      <span class="row-end row-note">{tube.put_away ? words.putAway : words.inUse}</span>
    </a>
  );
}

export function TubePage({ id }: { id: string }) {
  const words = labels.log.tube;
  const isNew = id === "new";
  const row = useStored(async () => (isNew ? null : ((await readTube(id)) ?? "lost")), ["tubes"], [id]);
  if (row === undefined) return <p role="status">{labels.common.opening}</p>;
  if (row === "lost") return <p>{words.lost}</p>;
  const save = async (entry: TubeEntry) => {
    const now = new Date();
    if (isNew) await saveSettings({ tube: (await addTube(entry, now)).id });
    else await editTube(id, entry, now);
    history.back();
  };
  return (
    <>
      <header class="head">
        <h1>{isNew ? words.addTitle : row?.name}</h1>
      </header>
      <TubeForm row={row} onSave={(entry) => void save(entry)} onBack={() => history.back()} />
      {row !== null && (
        <section class="leaf">
          <SwitchField
            label={words.putAway}
            hint={words.putAwayHint}
            checked={row.put_away}
            onChecked={(away) => void putAway(row.id, away)}
          />
        </section>
      )}
    </>
  );
}
