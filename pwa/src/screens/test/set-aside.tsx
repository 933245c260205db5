/** The odd one of several runs: set aside with a reason, which stays with the test, or counted again. */

import { useMemo, useRef, useState } from "preact/hooks";
import type { Measurement } from "../../chemistry/measurement";
import { labels } from "../../i18n";
import { bringFault } from "../../widgets/bring";
import { TextField } from "../../widgets/fields";
import { oddRun } from "./odd-run";
import { withAside } from "./run-entry";
import type { Change } from "./use-draft";

export interface SetAsideProps {
  /** Of a complete sheet: its runs are those of the sheet. */
  measurement: Measurement;
  /** Whether the runs that count contradict each other. */
  contradicting: boolean;
  change: Change;
}

export function SetAside({ measurement, contradicting, change }: SetAsideProps) {
  const words = labels.test.aside;
  const odd = useMemo(() => (contradicting ? oddRun(measurement) : null), [measurement, contradicting]);
  const set = (index: number, why: string) => change((draft) => ({ runs: withAside(draft.runs, index, why) }));
  return (
    <>
      {odd !== null && <Offer key={odd} number={odd + 1} onAside={(why) => set(odd, why)} />}
      {measurement.runs.map(
        ({ set_aside: why }, index) =>
          why && (
            <div key={index} class="field" data-aside>
              <p role="status">{words.done(index + 1, why)}</p>
              <button type="button" onClick={() => set(index, "")}>
                {words.undo(index + 1)}
              </button>
            </div>
          ),
      )}
    </>
  );
}

function Offer({ number, onAside }: { number: number; onAside: (why: string) => void }) {
  const words = labels.test.aside;
  const [why, setWhy] = useState("");
  const [tried, setTried] = useState(false);
  const box = useRef<HTMLElement>(null);
  const reason = why.trim();
  const act = () => {
    setTried(true);
    if (reason === "") bringFault(box.current);
    else onAside(reason);
  };
  return (
    <section ref={box} class="form" aria-label={words.title}>
      <p>{words.offer(number)}</p>
      <TextField
        label={words.reason}
        value={why}
        onValue={setWhy}
        maxLength={200}
        hint={words.reasonHint}
        fault={tried && reason === "" ? words.reasonFault : undefined}
      />
      <button type="button" onClick={act}>
        {words.act(number)}
      </button>
    </section>
  );
}

export default SetAside;
