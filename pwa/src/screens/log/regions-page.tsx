/** Which regions this phone fetches: all, or the ones chosen here. */

import { useEffect, useState } from "preact/hooks";
import { labels } from "../../i18n";
import { useStored } from "../../state/hooks";
import { usePage } from "../../state/page";
import { to } from "../../state/router";
import { settings } from "../../state/signals";
import { readFact, saveSettings } from "../../store/settings";
import { learnRegions } from "../../sync/regions";
import { TextField } from "../../widgets/fields";
import { useRegionName } from "../shared/source/region-name";
import { matching } from "../shared/source/search";

/** The server's limit of codes in one request. */
const MOST = 90;
const OFFERED = 6;

export function RegionsPage() {
  const { exchangeNow } = usePage();
  const words = labels.log.regions;
  const [text, setText] = useState("");
  const chosen = settings.value.regions;
  const offered = useOffered(text).filter(([code]) => !chosen.includes(code));
  const choose = async (change: (chosen: readonly string[]) => readonly string[]) => {
    await saveSettings((old) => ({ regions: [...new Set(change(old.regions))].sort() }));
    void exchangeNow();
  };
  return (
    <>
      <header class="head">
        <h1>{words.title}</h1>
        <p class="quiet">{words.hint}</p>
      </header>
      <section class="leaf">
        {chosen.length === 0 ? (
          <p role="status">{words.all}</p>
        ) : (
          <ul class="row-list">
            {chosen.map((code) => (
              <li key={code} class="row region-month">
                <span class="row-name">
                  <Name code={code} />
                </span>
                <button type="button" onClick={() => void choose((now) => now.filter((one) => one !== code))}>
                  {words.remove}
                </button>
              </li>
            ))}
          </ul>
        )}
        {chosen.length < MOST ? (
          <TextField
            label={words.find}
            type="search"
            value={text}
            onValue={setText}
            maxLength={60}
            hint={words.findHint}
          />
        ) : (
          <p class="hint">{words.full}</p>
        )}
        {chosen.length < MOST && offered.length > 0 && (
          <ul class="row-list">
            {offered.map(([code, name]) => (
              <li key={code}>
                <button
                  type="button"
                  class="row region-month"
                  onClick={() => void choose((now) => [...now, code]).then(() => setText(""))}
                >
                  <span class="row-name">{name}</span>
                  <span class="row-note">{code}</span>
                </button>
              </li>
            ))}
          </ul>
        )}
        {chosen.length > 0 && (
          <button type="button" onClick={() => void choose(() => [])}>
            {words.everything}
          </button>
        )}
      </section>
      <a class="button plain" href={to("settings")}>
        {labels.common.back}
      </a>
    </>
  );
}

function Name({ code }: { code: string }) {
  const name = useRegionName(code);
  return name === code ? code : `${name} (${code})`;
}

const CODE = /^[A-Z]{2}(-[A-Z0-9]{1,3})?$/;

/** Regions with sources whose name or code matches the words, and any full code; none while the text is empty. */
function useOffered(text: string): [code: string, name: string][] {
  const names = useStored(() => readFact("regions"), ["settings"]);
  useEffect(() => void learnRegions(), []);
  const typed = text.trim().toUpperCase();
  if (typed.length < 2) return [];
  const known = { ...(CODE.test(typed) ? { [typed]: typed } : {}), ...names };
  const isFound = matching(text);
  const found = Object.entries(known).filter(([code, name]) => isFound({ name, pump: code }));
  const begins = ([, name]: [string, string]) => Number(!name.toLowerCase().startsWith(text.trim().toLowerCase()));
  return found.sort((a, b) => begins(a) - begins(b)).slice(0, OFFERED);
}
