/** The URL of a source's page as a QR code, for another phone. */

import { useState } from "preact/hooks";
import { labels } from "../../i18n";
import { addressOf } from "../../state/router";
import { QrCode } from "../../widgets/lazy-qr";

export function SourceCode({ id, name }: { id: string; name: string }) {
  const words = labels.sources.code;
  const [shown, setShown] = useState(false);
  return (
    <>
      <button type="button" aria-expanded={shown} onClick={() => setShown(!shown)}>
        {shown ? words.hide : words.show}
      </button>
      {shown && (
        <div class="field">
          <QrCode text={addressOf("source", id)} name={words.name(name)} />
          <p class="hint">{words.hint}</p>
        </div>
      )}
    </>
  );
}
