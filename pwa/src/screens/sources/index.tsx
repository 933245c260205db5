/** The place Sources: the ranked list, the map, one source, adding one, one region. */

import "./sources.css";
import { labels } from "../../i18n";
import { go } from "../../state/router";
import { settings } from "../../state/signals";
import { addSource, type SourceEntry } from "../../store/sources";
import type { ScreenProps } from "../../widgets/lazy";
import { SideBySide } from "../../widgets/side-by-side";
import { SourceForm } from "../shared/source/source-form";
import { SourcesList } from "./list";
import { MapPage } from "./map-page";
import { RegionPage } from "./region-page";
import { SourcePage } from "./source-page";
import { SourceRecord } from "./source-record";

export default function SourcesScreen({ path }: ScreenProps) {
  const [place, id, part] = path;
  if (place === "sources" && id === "map") return <MapPage />;
  if (place === "source" && id && part === "record") return <SourceRecord key={id} id={id} />;
  return <SideBySide list={<SourcesList />} page={pageOf(path)} />;
}

function pageOf([place, id]: string[]) {
  if (place === "sources" || !id) return null;
  if (place === "region") return <RegionPage key={id} code={id} />;
  return id === "new" ? <AddSource /> : <SourcePage key={id} id={id} />;
}

function AddSource() {
  const keep = async (entry: SourceEntry) => {
    const id = await addSource(entry, settings.value.share === true, new Date());
    go(["source", id], true);
  };
  return (
    <>
      <header class="head">
        <h1>{labels.sourceForm.title}</h1>
      </header>
      <SourceForm onSave={(entry) => void keep(entry)} onBack={() => history.back()} />
    </>
  );
}
