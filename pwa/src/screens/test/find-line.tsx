/** Looks for the parting line between the marks of a photo: shows a suggestion, or that there is no clear line. */

import { useState } from "preact/hooks";
import type { Marks } from "../../chemistry/axis";
import type { Suggestion } from "../../chemistry/photo";
import { labels } from "../../i18n";
import { lookForLine } from "./photo-line";

export interface FindLineProps {
  photo: Blob;
  /** The three known marks are in place; the line's own is ignored. */
  marks: Marks;
  onSeen: (seen: Suggestion | null) => void;
}

type Search = "idle" | "looking" | "seen" | "no clear line" | { fault: string };

export function FindLine({ photo, marks, onSeen }: FindLineProps) {
  const words = labels.photo;
  const [search, setSearch] = useState<Search>("idle");
  const look = async () => {
    setSearch("looking");
    const found = await lookForLine(photo, marks).catch((reason) => {
      console.error(reason);
      return words.unreadable;
    });
    if (typeof found === "string") {
      setSearch({ fault: found });
      return;
    }
    setSearch(found ? "seen" : "no clear line");
    onSeen(found);
  };
  return (
    <div class="field">
      <button type="button" disabled={search === "looking"} onClick={() => void look()}>
        {search === "looking" ? words.searching : words.suggest}
      </button>
      <p class="hint">{words.suggestHint}</p>
      <p role="status">
        {search === "seen" && words.suggested}
        {search === "no clear line" && words.noClearLine}
      </p>
      {typeof search === "object" && (
        <p class="fault" role="alert">
          {search.fault}
        </p>
      )}
    </div>
  );
}
