/** Everything of one's own: tests, settings, files. */

import "./log.css";
import type { ScreenProps } from "../../shell/later";
import { Files } from "./files";
import { LogList } from "./list";
import { MovePage } from "./move";
import { RegionsPage } from "./regions-page";
import { SettingsPage } from "./settings";
import { TestPage } from "./test-page";

export default function LogScreen({ path: [place, id] }: ScreenProps) {
  if (place === "settings" && id === "regions") return <RegionsPage />;
  if (place === "settings" && id === "move") return <MovePage />;
  if (place === "settings") return id === "files" ? <Files /> : <SettingsPage />;
  return id === undefined ? <LogList /> : <TestPage key={id} id={id} />;
}
