/** Everything of one's own: tests, tubes, settings. */

import { labels } from "../../labels";
import type { ScreenProps } from "../../shell/later";

export default function LogScreen(_: ScreenProps) {
  return <h1>{labels.log.title}</h1>;
}
