/** The place Log: the person's own tests, settings, files. */

import "./log.css";
import { lazy, type ScreenProps } from "../../widgets/lazy";
import { SideBySide } from "../../widgets/side-by-side";
import { LogList } from "./list";
import { MovePage } from "./move";
import { RegionsPage } from "./regions-page";
import { SettingsPage } from "./settings";
import { TestPage } from "./test-page";

/** Most of this code reads log files, which few people ever do. */
const Files = lazy<object>(async () => ({ default: (await import("./files")).Files }));

export default function LogScreen({ path: [place, id] }: ScreenProps) {
  if (place === "settings" && id === "regions") return <RegionsPage />;
  if (place === "settings" && id === "move") return <MovePage />;
  if (place === "settings") return id === "files" ? <Files /> : <SettingsPage />;
  return <SideBySide list={<LogList />} page={id === undefined ? null : <TestPage key={id} id={id} />} />;
}
