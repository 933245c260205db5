/** The source of the sample: the nearest ones as large rows, the others by search, or a new one. */

import { useEffect, useId, useMemo, useRef, useState } from "preact/hooks";
import type { Point } from "../../../geo/position";
import { labels } from "../../../i18n";
import { number } from "../../../i18n/format";
import { nearness, sorted } from "../../../model/ranking";
import type { FiguresRow } from "../../../rows/source";
import { findPosition } from "../../../state/find-position";
import { useStored } from "../../../state/hooks";
import { usePage } from "../../../state/page";
import { whereabouts } from "../../../state/signals";
import { addSource, type SourceEntry } from "../../../store/sources";
import { bring } from "../../../widgets/bring";
import { TextField } from "../../../widgets/fields";
import { away } from "./away";
import { matching } from "./search";
import { SourceForm } from "./source-form";

const FIRST = 5;
const STEP = 20;

export interface SourceChoiceProps {
  chosen: string | null;
  onChosen: (source: string) => void;
  /** Only sources with a known content, and no adding. */
  tested?: boolean;
  /** The choice is optional, so nobody is asked for a first source. */
  optional?: boolean;
}

export function SourceChoice({ chosen, onChosen, tested, optional }: SourceChoiceProps) {
  const words = labels.test.source;
  const rows = useStored(usePage().figures.read, ["figures"]);
  const [text, setText] = useState("");
  const [most, setMost] = useState(FIRST);
  const name = useId();
  const [adding, setAdding] = useState(false);
  const [added, setAdded] = useState(false);
  const box = useRef<HTMLDivElement>(null);
  // The form was longer than what replaces it: scroll to what comes next.
  const isForm = !tested && (adding || (rows?.length === 0 && !optional));
  useEffect(() => {
    if (added && !isForm) bring(box.current?.closest(".stage") ?? box.current);
  }, [added, isForm]);
  const here = whereabouts.value;
  const offered = useMemo(
    () =>
      offer(
        (rows ?? []).filter((row) => !tested || row.figures !== null),
        text,
        here,
      ),
    [rows, tested, text, here],
  );

  if (!rows) return null;
  if (isForm) {
    const keep = async (entry: SourceEntry) => {
      onChosen(await addSource(entry, false, new Date()));
      setAdding(false);
      setAdded(true);
    };
    // A first source that is being entered stays open, even if the list of the others arrives meanwhile.
    return (
      <div class="form" onInput={() => setAdding(true)}>
        {rows.length === 0 && !optional && <p>{words.noneAtAll}</p>}
        <SourceForm
          onSave={(entry) => void keep(entry)}
          onBack={rows.length > 0 || optional ? () => setAdding(false) : undefined}
        />
      </div>
    );
  }
  const shown = offered.slice(0, most);
  return (
    <div class="form" ref={box}>
      {rows.length > FIRST && (
        <TextField label={words.find} type="search" value={text} onValue={setText} maxLength={60} />
      )}
      {rows.length > 0 && (
        <div>
          <p class="hint">{here ? words.near : words.recent}</p>
          <fieldset>
            <legend class="unseen">{words.ask}</legend>
            <ul class="row-list">
              {shown.map((row) => (
                <li key={row.source}>
                  <SourceRow
                    row={row}
                    name={name}
                    chosen={row.source === chosen}
                    onChosen={() => onChosen(row.source)}
                  />
                </li>
              ))}
            </ul>
          </fieldset>
          {offered.length === 0 && <p role="status">{words.none}</p>}
        </div>
      )}
      <div class="buttons">
        {offered.length > most && (
          <button type="button" onClick={() => setMost(most + STEP)}>
            {words.more(number(offered.length - most, 0))}
          </button>
        )}
        {!here && rows.length > 0 && <Locate />}
        {!tested && (
          <button
            type="button"
            onClick={() => {
              setAdding(true);
              setAdded(false);
            }}
          >
            {words.add}
          </button>
        )}
      </div>
    </div>
  );
}

function SourceRow({ row, name, chosen, onChosen }: SourceRowProps) {
  const distant = away(whereabouts.value, row);
  return (
    <label class="row">
      <input type="radio" name={name} checked={chosen} onChange={onChosen} />
      <span class="row-main">
        <span class="row-name">{row.name}</span>
        {row.pump && <span class="row-note">{row.pump}</span>}
      </span>
      {distant && <span class="row-end row-note">{distant}</span>}
    </label>
  );
}

interface SourceRowProps {
  row: FiguresRow;
  /** Of the group of radio buttons. */
  name: string;
  chosen: boolean;
  onChosen: () => void;
}

function Locate() {
  const [looking, setLooking] = useState(false);
  const look = () => {
    setLooking(true);
    findPosition()
      // Denied or without a fix: the list keeps its order, and the button stays.
      .catch(() => {})
      .finally(() => setLooking(false));
  };
  return (
    <button type="button" disabled={looking} onClick={look}>
      {looking ? labels.test.source.locating : labels.test.source.locate}
    </button>
  );
}

/** Nearest first if the phone knows its position, else last tested first. */
function offer(rows: readonly FiguresRow[], text: string, here: Point | null): FiguresRow[] {
  const age = ({ figures }: FiguresRow) => (figures === null ? 0 : -Date.parse(figures.last_sampled_at));
  return sorted(rows.filter(matching(text)), here ? nearness(here) : age);
}
