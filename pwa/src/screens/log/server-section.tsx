/** Which server this phone exchanges with, and under which identity. */

import { useState } from "preact/hooks";
import { labels } from "../../i18n";
import { useStored } from "../../state/hooks";
import { usePage } from "../../state/page";
import { settings } from "../../state/signals";
import { identity } from "../../store/identity";
import { saveSettings } from "../../store/settings";
import { originOf } from "../../sync/origin";
import { ActButton } from "../../widgets/act-button";
import { TextField } from "../../widgets/fields";
import { Pairs } from "../../widgets/pairs";

export function ServerSection() {
  const { exchangeNow } = usePage();
  const words = labels.log.setting;
  const who = useStored(identity, ["settings"]);
  const [address, setAddress] = useState(settings.value.server);
  const [fault, setFault] = useState<string>();
  const save = async (event: Event) => {
    event.preventDefault();
    const origin = originOf(address);
    setFault(origin === null ? words.serverFault : undefined);
    if (origin === null) return;
    setAddress(origin);
    await saveSettings({ server: origin });
    await exchangeNow();
  };
  return (
    <section class="leaf">
      <h2>{words.server}</h2>
      <Pairs of={[[words.contributor, who?.contributor ?? ""]]} />
      <p class="hint">{words.contributorHint}</p>
      <form class="form" noValidate onSubmit={(event) => void save(event)}>
        <TextField
          label={words.serverAddress}
          value={address}
          onValue={setAddress}
          maxLength={200}
          hint={words.serverHint}
          fault={fault}
        />
        <ActButton missing={address.trim() === settings.value.server ? words.serverSame : null}>
          {words.serverSave}
        </ActButton>
      </form>
    </section>
  );
}
