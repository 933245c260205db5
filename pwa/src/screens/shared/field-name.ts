/** The name of a field for people: the server names it by its path, and `runs[0].line` is the line of run 1. */

import { labels } from "../../i18n";

/** The start of a path to a run, with its index. */
const RUN = /^runs\[(\d+)\](?:\.(\w+))?/;
const PHOTO = /^photos\[(\d+)\]/;
const MARK = /^tube\.calibration\[(\d+)\]/;

/** A path without its own name, such as a file's, stays as it is. */
export function fieldName(path: string): string {
  const { fields, run, whole, ofRun, photo, weighed } = labels.record;
  const [, runIndex, part] = RUN.exec(path) ?? [];
  if (runIndex !== undefined) {
    const name = part === undefined ? undefined : run[part];
    return name === undefined ? whole(Number(runIndex) + 1) : ofRun(name, Number(runIndex) + 1);
  }
  const [, photoIndex] = PHOTO.exec(path) ?? [];
  if (photoIndex !== undefined) return photo(Number(photoIndex) + 1);
  const [, markIndex] = MARK.exec(path) ?? [];
  if (markIndex !== undefined) return weighed(Number(markIndex) + 1);
  return fields[path] ?? path;
}
