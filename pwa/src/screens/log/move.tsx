/** Becoming the same contributor on another phone: shows this phone's secret as a code, or reads that of another. */

import { useState } from "preact/hooks";
import { labels } from "../../i18n";
import { codeOf, secretIn, spelled } from "../../model/secret-text";
import { useStored } from "../../state/hooks";
import { usePage } from "../../state/page";
import { to } from "../../state/router";
import { identity, identityOf, takeIdentity } from "../../store/identity";
import { retryParked } from "../../store/outbox";
import { ActButton } from "../../widgets/act-button";
import { CodeScanner } from "../../widgets/code-scanner";
import { ConfirmDialog } from "../../widgets/confirm-dialog";
import { TextField } from "../../widgets/fields";
import { QrCode } from "../../widgets/lazy-qr";

export function MovePage() {
  const words = labels.log.move;
  return (
    <>
      <header class="head">
        <h1>{words.title}</h1>
        <p class="quiet">{words.hint}</p>
      </header>
      <Own />
      <Other />
      <a class="button plain" href={to("settings", "files")}>
        {labels.common.back}
      </a>
    </>
  );
}

function Own() {
  const words = labels.log.move;
  const who = useStored(identity, ["settings"]);
  const [shown, setShown] = useState(false);
  if (who === undefined) return null;
  return (
    <section class="leaf">
      <h2>{words.own}</h2>
      <p class="warning">{words.ownWarning}</p>
      <button type="button" aria-expanded={shown} onClick={() => setShown(!shown)}>
        {shown ? words.hide : words.show}
      </button>
      {shown && (
        <>
          <QrCode text={codeOf(who.secret)} name={words.codeName} />
          <p class="spelled">{spelled(who.secret)}</p>
        </>
      )}
    </section>
  );
}

interface Asking {
  secret: string;
  here: string;
  there: string;
}

function Other() {
  const { exchangeNow } = usePage();
  const words = labels.log.move;
  const [text, setText] = useState("");
  const [fault, setFault] = useState("");
  const [message, setMessage] = useState("");
  const [asking, setAsking] = useState<Asking | null>(null);
  const take = (given: string): boolean => {
    const secret = secretIn(given);
    setMessage("");
    setFault(secret === null ? words.fault : "");
    if (secret !== null) void ask(secret);
    return secret !== null;
  };
  const ask = async (secret: string) => {
    const [here, there] = [await identity(), await identityOf(secret)];
    if (here.secret === secret) setMessage(words.same);
    else setAsking({ secret, here: here.contributor, there: there.contributor });
  };
  const finish = async ({ secret, there }: Asking) => {
    setAsking(null);
    setText("");
    await takeIdentity(secret);
    await retryParked();
    setMessage(labels.log.file.identity(there));
    void exchangeNow();
  };
  return (
    <section class="leaf">
      <h2>{words.other}</h2>
      <CodeScanner onText={take} />
      <form
        class="form"
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          take(text);
        }}
      >
        <TextField
          label={words.text}
          lines
          value={text}
          onValue={setText}
          maxLength={200}
          hint={words.textHint}
          fault={fault}
        />
        <ActButton missing={text.trim() === "" ? words.textMissing : null}>{words.take}</ActButton>
      </form>
      <p role="status">{message}</p>
      <ConfirmDialog
        open={asking !== null}
        title={words.ask}
        act={labels.log.file.identityTake}
        back={words.leave}
        onAct={() => asking && void finish(asking)}
        onBack={() => setAsking(null)}
      >
        {asking && <p>{words.what(asking.here, asking.there)}</p>}
      </ConfirmDialog>
    </section>
  );
}
