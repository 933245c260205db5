/** The note of a saved test: changing it makes a new revision, and the earlier ones stay readable. */

import { useState } from "preact/hooks";
import { labels } from "../../i18n";
import type { OwnTest } from "../../rows/test";
import { reviseTest } from "../../store/tests";
import { ActButton } from "../../widgets/act-button";
import { TextField } from "../../widgets/fields";

const LONGEST = 1000;

export function NoteForm({ row }: { row: OwnTest }) {
  const words = labels.log.page;
  const [note, setNote] = useState(row.test.note);
  const save = (event: Event) => {
    event.preventDefault();
    void reviseTest(row.id, { note: note.trim() });
  };
  return (
    <section class="leaf">
      <form class="form" onSubmit={save}>
        <TextField lines label={words.note} value={note} onValue={setNote} maxLength={LONGEST} hint={words.noteHint} />
        <ActButton missing={note.trim() === row.test.note ? words.noteSame : null}>{words.noteSave}</ActButton>
      </form>
    </section>
  );
}
