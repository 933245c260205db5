/** Where the fuel comes from, what was sampled, and when. */

import { useRef, useState } from "preact/hooks";
import { labels } from "../../i18n";
import { rfc3339 } from "../../i18n/format";
import { fromLocalField, toLocalField } from "../../i18n/local-time";
import type { Sampled } from "../../records";
import type { Draft } from "../../rows/draft";
import { saveSettings } from "../../store/settings";
import { bringFault } from "../../widgets/bring";
import { ChoiceRow } from "../../widgets/choice-row";
import { TextField } from "../../widgets/fields";
import { SourceChoice } from "../shared/source/source-choice";

const SAMPLED: readonly Sampled[] = ["pump", "can", "tank"];

export interface StageBodyProps {
  draft: Draft;
  change: (part: Partial<Draft>) => void;
  goOn: () => void;
}

export function SourceStage({ draft, change, goOn }: StageBodyProps) {
  const words = labels.test.source;
  const [tried, setTried] = useState(false);
  const box = useRef<HTMLDivElement>(null);
  const next = () => {
    setTried(true);
    if (draft.sampled === null) bringFault(box.current);
    else goOn();
  };
  return (
    <>
      <SourceChoice chosen={draft.source} onChosen={(source) => change({ source })} />
      {draft.source !== null && (
        <>
          <div ref={box} class="field">
            <ChoiceRow
              legend={words.sampledAsk}
              value={draft.sampled}
              onValue={(sampled) => {
                change({ sampled });
                void saveSettings({ sampled });
              }}
              options={SAMPLED.map((value) => ({ value, label: words.sampled[value] }))}
            />
            {tried && draft.sampled === null && (
              <p class="fault" role="alert">
                {words.sampledFault}
              </p>
            )}
          </div>
          <SampledAt
            at={draft.sampled_at}
            isSaved={draft.corrects !== undefined}
            onAt={(sampled_at) => change({ sampled_at })}
          />
          <button type="button" class="main" onClick={next}>
            {labels.test.goOn}
          </button>
        </>
      )}
    </>
  );
}

interface SampledAtProps {
  at: string | null;
  /** The test is saved: "just now" no longer applies. */
  isSaved: boolean;
  onAt: (at: string | null) => void;
}

function SampledAt({ at, isSaved, onAt }: SampledAtProps) {
  const words = labels.test.source;
  const [text, setText] = useState(at === null ? "" : toLocalField(new Date(at)));
  const [fault, setFault] = useState("");
  const typed = (raw: string) => {
    setText(raw);
    const date = fromLocalField(raw);
    const ahead = date !== null && date.getTime() > Date.now();
    setFault(ahead ? words.whenFault : "");
    if (date !== null && !ahead) onAt(rfc3339(date));
  };
  return (
    <>
      {!isSaved && (
        <ChoiceRow
          legend={words.whenAsk}
          value={at === null ? "now" : "earlier"}
          onValue={(when) => {
            setText(when === "now" ? "" : toLocalField(new Date()));
            setFault("");
            onAt(when === "now" ? null : rfc3339(new Date()));
          }}
          options={[
            { value: "now", label: words.whenNow },
            { value: "earlier", label: words.whenEarlier },
          ]}
        />
      )}
      {at !== null && (
        <TextField
          label={words.when}
          type="datetime-local"
          value={text}
          onValue={typed}
          maxLength={20}
          fault={fault || undefined}
        />
      )}
    </>
  );
}
