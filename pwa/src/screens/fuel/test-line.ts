/** A test on one line, for choosing. */

import { labels } from "../../i18n";
import { day, withUncertainty } from "../../i18n/format";
import type { SourceTest } from "../../store/sources";

export function testLine(test: SourceTest): string {
  const reading = withUncertainty(test.content, test.expanded_uncertainty);
  return labels.fuel.can.testLine(
    reading,
    day(test.sampled_at),
    labels.sources.page.sampled[test.sampled] ?? test.sampled,
  );
}
