/** Everything of one's own: tests, tubes, settings, files. */

import "./log.css";
import type { ScreenProps } from "../../shell/later";
import { Files } from "./files";
import { LogList } from "./list";
import { SettingsPage } from "./settings";
import { TestPage } from "./test-page";
import { TubePage, Tubes } from "./tubes";

export default function LogScreen({ path: [place, id] }: ScreenProps) {
  if (place === "settings") return id === "files" ? <Files /> : <SettingsPage />;
  if (place === "tubes") return id === undefined ? <Tubes /> : <TubePage key={id} id={id} />;
  return id === undefined ? <LogList /> : <TestPage key={id} id={id} />;
}
