/** Export and import of the log, and the recovery file. */

import { useState } from "preact/hooks";
import { writeCsv } from "../../files/log-csv";
import { type LogFile, readLog, writeLog } from "../../files/log-file";
import { fileName, saveFile } from "../../files/save";
import { labels } from "../../i18n";
import { count } from "../../i18n/format";
import { usePage } from "../../state/page";
import { to } from "../../state/router";
import { refreshFigures } from "../../store/figures";
import { identity, identityOf, takeIdentity } from "../../store/identity";
import { retryParked } from "../../store/outbox";
import { reviseTests } from "../../store/tests";
import { exportLog, importLog } from "../../store/transfer";
import { ConfirmDialog } from "../../widgets/confirm-dialog";
import { SwitchField } from "../../widgets/fields";
import { importWords } from "./import-words";

export function Files() {
  const words = labels.log.file;
  const [withPhotos, setWithPhotos] = useState(false);
  return (
    <>
      <header class="head">
        <h1>{words.title}</h1>
      </header>
      <section class="leaf">
        <h2>{words.save}</h2>
        <SwitchField
          label={words.withPhotos}
          hint={words.withPhotosHint}
          checked={withPhotos}
          onChecked={setWithPhotos}
        />
        <Saving label={words.json} hint={words.jsonHint} save={() => saveLog(false, withPhotos)} />
        <Saving label={words.csv} hint={words.csvHint} save={saveTable} />
        <Saving label={words.recovery} hint={words.recoveryHint} save={() => saveLog(true, withPhotos)} />
        <div class="log-files">
          <a class="button" href={to("settings", "move")}>
            {labels.log.move.title}
          </a>
          <p class="hint">{words.moveHint}</p>
        </div>
      </section>
      <Opening />
      <a class="button plain" href={to("log")}>
        {labels.common.back}
      </a>
    </>
  );
}

function Saving({ label, hint, save }: { label: string; hint: string; save: () => Promise<void> }) {
  return (
    <div class="log-files">
      <button type="button" onClick={() => void save()}>
        {label}
      </button>
      <p class="hint">{hint}</p>
    </div>
  );
}

async function saveLog(withSecret: boolean, withPhotos: boolean): Promise<void> {
  const now = new Date();
  const { contributor, secret } = await identity();
  const text = writeLog(await exportLog(withPhotos), { contributor, secret: withSecret ? secret : null }, now);
  saveFile(fileName(withSecret ? "recovery" : "log", now, "json"), "application/json", text);
}

async function saveTable(): Promise<void> {
  saveFile(fileName("log", new Date(), "csv"), "text/csv;charset=utf-8", writeCsv(await exportLog()));
}

interface Asking {
  file: LogFile;
  here: string;
  there: string;
}

function Opening() {
  const { compute, exchangeNow } = usePage();
  const words = labels.log.file;
  const [messages, setMessages] = useState<string[]>([]);
  const [fault, setFault] = useState("");
  const [asking, setAsking] = useState<Asking | null>(null);
  const [unsent, setUnsent] = useState<string[]>([]);

  const finish = async (file: LogFile, withIdentity: boolean) => {
    setAsking(null);
    const lines: string[] = [];
    if (withIdentity && file.secret !== null) {
      const { contributor } = await takeIdentity(file.secret);
      lines.push(words.identity(contributor));
      // Records refused because another contributor had sent them are now this contributor's own.
      await retryParked();
    }
    const counts = await importLog(file);
    setMessages([...lines, ...importWords(counts)]);
    setUnsent(counts.unsent);
    await refreshFigures(new Date(), compute);
    await exchangeNow();
  };
  const open = async (picked: File | undefined) => {
    if (picked === undefined) return;
    setFault("");
    setUnsent([]);
    setMessages([words.working]);
    const file = await readLog(await picked.text());
    if ("code" in file) {
      setMessages([]);
      setFault(`${words.faults[file.code] ?? file.code} ${file.where}`.trim());
      return;
    }
    const here = await identity();
    if (file.secret === null || file.secret === here.secret) {
      await finish(file, false);
      return;
    }
    setMessages([]);
    setAsking({ file, here: here.contributor, there: (await identityOf(file.secret)).contributor });
  };
  return (
    <section class="leaf">
      <h2>{words.open}</h2>
      <label class="button photo-add">
        {words.choose}
        <input
          type="file"
          accept="application/json,.json"
          onChange={(event) => {
            const input = event.currentTarget;
            void open(input.files?.[0]).finally(() => {
              input.value = "";
            });
          }}
        />
      </label>
      <p class="hint">{words.openHint}</p>
      <div role="status">
        {messages.map((line) => (
          <p key={line}>{line}</p>
        ))}
      </div>
      {unsent.length > 0 && <Unsent tests={unsent} />}
      {fault && (
        <p class="fault" role="alert">
          {fault}
        </p>
      )}
      <ConfirmDialog
        open={asking !== null}
        title={words.identityAsk}
        act={words.identityTake}
        back={words.identityLeave}
        onAct={() => asking && void finish(asking.file, true)}
        onBack={() => asking && void finish(asking.file, false)}
      >
        {asking && <p>{words.identityWhat(asking.here, asking.there)}</p>}
      </ConfirmDialog>
    </section>
  );
}

/** The file's own unsent tests: asks once whether to share them all. */
function Unsent({ tests }: { tests: readonly string[] }) {
  const { exchangeNow } = usePage();
  const { log } = labels;
  const [shared, setShared] = useState(false);
  const counted = count(tests.length, log.test, log.tests);
  const share = async () => {
    await reviseTests(tests, { shared: true });
    setShared(true);
    await exchangeNow();
  };
  if (shared) return <p role="status">{log.file.unsentShared(counted)}</p>;
  return (
    <div class="log-files">
      <p role="status">{log.file.unsent(counted)}</p>
      <button type="button" onClick={() => void share()}>
        {log.file.unsentShare(counted)}
      </button>
      <p class="hint">{log.page.shareHint}</p>
    </div>
  );
}
