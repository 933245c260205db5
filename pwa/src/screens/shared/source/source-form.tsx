/** A source: its name, the pump, and its position: from the phone, typed, or later. */

import { useEffect, useRef, useState } from "preact/hooks";
import type { Point } from "../../../geo/position";
import { labels } from "../../../i18n";
import { coordinates } from "../../../i18n/format";
import { findPosition, PositionTrouble } from "../../../state/find-position";
import type { SourceEntry } from "../../../store/sources";
import { bringFault } from "../../../widgets/bring";
import { ChoiceRow } from "../../../widgets/choice-row";
import { TextField } from "../../../widgets/fields";
import { pointOf } from "./coordinate-text";
import { KnownPlaces } from "./known-places";

export interface SourceFormProps {
  entry?: SourceEntry;
  onSave: (entry: SourceEntry) => void;
  /** The id of the source being changed; none for a new one. */
  except?: string;
  /** Omitted if there is nothing to go back to. */
  onBack?: (() => void) | undefined;
}

type How = "here" | "typed" | "later";

export function SourceForm({ entry, except, onSave, onBack }: SourceFormProps) {
  const words = labels.sourceForm;
  const known = knownPoint(entry);
  const [name, setName] = useState(entry?.name ?? "");
  const [pump, setPump] = useState(entry?.pump ?? "");
  const [notes, setNotes] = useState(entry?.notes ?? "");
  const [how, setHow] = useState<How | null>(known ? "typed" : null);
  const [found, setFound] = useState<Point | null>(null);
  const [typed, setTyped] = useState(known ? coordinates(known.latitude, known.longitude) : "");
  const [tried, setTried] = useState(false);
  const box = useRef<HTMLFormElement>(null);

  const point = how === "here" ? found : how === "typed" ? pointOf(typed) : null;
  const faults = {
    name: name.trim() === "" ? words.nameFault : undefined,
    how: how === null ? words.howFault : how === "here" && !found ? words.hereFault : undefined,
    typed: how === "typed" && !point ? words.typedFault : undefined,
  };
  const save = () => {
    setTried(true);
    if (faults.name || faults.how || faults.typed) {
      bringFault(box.current);
      return;
    }
    const { latitude, longitude } = point ?? { latitude: null, longitude: null };
    onSave({
      name: name.trim(),
      pump: pump.trim(),
      notes: notes.trim(),
      latitude,
      longitude,
      // Confirmed for the old position: a new position is asked about again.
      subdivision: entry && isAt(point, known) ? entry.subdivision : null,
    });
  };
  return (
    <form
      ref={box}
      class="form"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        save();
      }}
    >
      <TextField
        label={words.name}
        value={name}
        onValue={setName}
        maxLength={80}
        hint={words.nameHint}
        fault={tried ? faults.name : undefined}
      />
      <TextField label={words.pump} value={pump} onValue={setPump} maxLength={40} hint={words.pumpHint} />
      <ChoiceRow
        legend={words.where}
        value={how}
        onValue={setHow}
        options={[
          { value: "here", label: words.here },
          { value: "typed", label: words.typed },
          { value: "later", label: words.later },
        ]}
      />
      {how === "here" && <Finder found={found} onFound={setFound} />}
      {how === "typed" && (
        <TextField
          label={words.position}
          value={typed}
          onValue={setTyped}
          maxLength={60}
          hint={words.positionHint}
          fault={tried ? faults.typed : undefined}
        />
      )}
      {point && <KnownPlaces place={{ ...point, name: name.trim(), pump: pump.trim() }} except={except} />}
      {how === "later" && <p class="hint">{words.laterHint}</p>}
      {tried && faults.how && (
        <p class="fault" role="alert">
          {faults.how}
        </p>
      )}
      <TextField label={words.notes} value={notes} onValue={setNotes} maxLength={500} lines hint={words.notesHint} />
      <div class="buttons">
        <button type="submit" class="main">
          {words.save}
        </button>
        {onBack && (
          <button type="button" class="plain" onClick={onBack}>
            {words.back}
          </button>
        )}
      </div>
    </form>
  );
}

type Search = "idle" | "looking" | PositionTrouble["code"];

function Finder({ found, onFound }: { found: Point | null; onFound: (point: Point) => void }) {
  const words = labels.sourceForm;
  const [search, setSearch] = useState<Search>("idle");
  const look = async () => {
    setSearch("looking");
    try {
      onFound(await findPosition());
      setSearch("idle");
    } catch (trouble) {
      setSearch(trouble instanceof PositionTrouble ? trouble.code : "unavailable");
    }
  };
  // Whoever taps "I am there" wants a position: no further tap.
  useEffect(() => {
    if (!found) void look();
  }, []);
  const failed = search !== "idle" && search !== "looking";
  return (
    <div class="field">
      <p role="status">{found && search !== "looking" && words.found(coordinates(found.latitude, found.longitude))}</p>
      <button type="button" disabled={search === "looking"} onClick={() => void look()}>
        {search === "looking" ? words.looking : found ? words.lookAgain : words.look}
      </button>
      {failed && (
        <p class="fault" role="alert">
          {words.trouble[search]}
        </p>
      )}
    </div>
  );
}

function isAt(point: Point | null, known: Point | null): boolean {
  if (!point || !known) return point === known;
  return coordinates(point.latitude, point.longitude) === coordinates(known.latitude, known.longitude);
}

function knownPoint(entry: SourceEntry | undefined): Point | null {
  if (!entry || entry.latitude === null || entry.longitude === null) return null;
  return { latitude: entry.latitude, longitude: entry.longitude };
}
