/** The person's own tubes, and one of them: what is known about it, and the ways to find out more. */

import type { TubeProps } from "./props";
import "./tubes.css";
import type { ComponentType } from "preact";
import { labels } from "../../i18n";
import { useStored } from "../../state/hooks";
import { go } from "../../state/router";
import { saveSettings } from "../../store/settings";
import { addTube, editTube, readTube } from "../../store/tubes";
import type { ScreenProps } from "../../widgets/lazy";
import { Missing } from "../../widgets/missing";
import { SideBySide } from "../../widgets/side-by-side";
import { Waiting } from "../../widgets/waiting";
import { TubeForm } from "../shared/tube-form";
import { KnownSamplePage } from "./known-sample";
import { Tubes } from "./list";
import { ScaleCheckPage } from "./scale-check";
import { TubePage } from "./tube-page";
import { WeighPage } from "./weigh";

const ACTS: Record<string, ComponentType<TubeProps>> = {
  edit: EditTube,
  weigh: WeighPage,
  scale: ScaleCheckPage,
  sample: KnownSamplePage,
};

export default function TubesScreen({ path: [, id, act] }: ScreenProps) {
  return <SideBySide list={<Tubes />} page={id === undefined ? null : <TubeOf id={id} act={act} />} />;
}

function TubeOf({ id, act }: { id: string; act: string | undefined }) {
  return id === "new" ? <NewTube /> : <OneTube key={id} id={id} act={act} />;
}

function OneTube({ id, act }: { id: string; act: string | undefined }) {
  // null: not found.
  const row = useStored(async () => (await readTube(id)) ?? null, ["tubes"], [id]);
  if (row === undefined) return <Waiting word={labels.common.opening} />;
  if (row === null) return <Missing title={labels.tubes.lost} back={labels.tubes.all} place="tubes" />;
  const Shown = ACTS[act ?? ""] ?? TubePage;
  return <Shown row={row} />;
}

function NewTube() {
  return (
    <>
      <header class="head">
        <h1>{labels.tubes.addTitle}</h1>
      </header>
      <TubeForm
        row={null}
        onSave={(entry) =>
          void addTube(entry, new Date())
            .then((row) => saveSettings({ tube: row.id }))
            .then(() => history.back())
        }
        onBack={() => history.back()}
      />
    </>
  );
}

function EditTube({ row }: TubeProps) {
  const leave = () => go(["tubes", row.id], true);
  return (
    <>
      <header class="head">
        <h1>{row.name}</h1>
      </header>
      <TubeForm row={row} onSave={(entry) => void editTube(row.id, entry, new Date()).then(leave)} onBack={leave} />
    </>
  );
}
