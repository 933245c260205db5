/** What an imported file added, in sentences. */

import { labels } from "../../i18n";
import { count } from "../../i18n/format";
import type { ImportCounts } from "../../store/transfer";

export function importWords({ tests, sources, tubes, known, ...more }: ImportCounts): string[] {
  const { log } = labels;
  const words = log.file;
  const taken = words.taken(
    count(tests, log.test, log.tests),
    count(sources, words.source, words.sources),
    count(tubes, words.tube, words.tubes),
  );
  const also = [
    more.plans > 0 && count(more.plans, words.plan, words.plans),
    more.stars > 0 && count(more.stars, words.star, words.stars),
    more.cans > 0 && count(more.cans, words.can, words.cans),
    more.vehicles === 1 && words.tank,
    more.vehicles > 1 && count(more.vehicles, labels.vehicles.one, labels.vehicles.many),
    more.fills > 0 && count(more.fills, labels.fillUps.one, labels.fillUps.many),
    more.settings && words.settings,
    more.sheet && words.sheet,
    more.language && words.language,
    more.photos > 0 && count(more.photos, words.photo, words.photos),
  ].filter((one) => one !== false);
  return [
    taken,
    ...(also.length > 0 ? [words.also(also.join(", "))] : []),
    ...(known > 0 ? [words.known(count(known, log.test, log.tests))] : []),
    ...(more.foreign > 0 ? [words.foreign(count(more.foreign, log.test, log.tests))] : []),
  ];
}
