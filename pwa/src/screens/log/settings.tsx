/** This phone's settings. Each one is saved when it is changed. */

import { SPECIFICATIONS } from "../../chemistry/meaning";
import { labels } from "../../i18n";
import type { Settings } from "../../rows/settings";
import { inUse } from "../../rows/vehicle";
import { usePage } from "../../state/page";
import { to } from "../../state/router";
import { settings, vehicles } from "../../state/signals";
import { DEFAULTS } from "../../store/settings";
import { ChoiceRow } from "../../widgets/choice-row";
import { SelectField } from "../../widgets/fields";
import { NumberField } from "../../widgets/number-field";
import { vehicleName } from "../shared/vehicle-name";
import { LanguageSection } from "./language-section";
import { Section } from "./section";
import { ServerSection } from "./server-section";
import { StorageSection } from "./storage-section";

export function SettingsPage() {
  const set = useSet();
  const words = labels.log.setting;
  return (
    <>
      <header class="head">
        <h1>{words.title}</h1>
      </header>
      <Units />
      <Meaning />
      <Testing />
      <Section title={words.look}>
        <ChoiceRow
          bare
          legend={words.look}
          value={settings.value.look}
          onValue={(look) => set({ look })}
          options={(["auto", "light", "dark", "sunlight"] as const).map((value) => ({
            value,
            label: words.looks[value],
          }))}
        />
      </Section>
      <LanguageSection />
      <ServerSection />
      <StorageSection />
      <div class="buttons">
        <a class="button" href={to("settings", "regions")}>
          {labels.log.regions.title}
        </a>
        <a class="button" href={to("settings", "files")}>
          {labels.log.files}
        </a>
        <a class="button" href={to("repair")}>
          {words.repair}
        </a>
        <a class="button plain" href={to("log")}>
          {labels.common.back}
        </a>
      </div>
    </>
  );
}

function useSet(): (change: Partial<Settings>) => void {
  const { live } = usePage();
  return (change) => void live.chooseSettings(change);
}

function Units() {
  const set = useSet();
  const words = labels.log.setting;
  const { temperature_unit, volume_unit, distance_unit } = settings.value;
  return (
    <Section title={words.units}>
      <ChoiceRow
        legend={words.temperature}
        value={temperature_unit}
        onValue={(value) => set({ temperature_unit: value })}
        options={[
          { value: "C", label: words.celsius },
          { value: "F", label: words.fahrenheit },
        ]}
      />
      <ChoiceRow
        legend={words.volume}
        value={volume_unit}
        onValue={(value) => set({ volume_unit: value })}
        options={[
          { value: "L", label: words.litres },
          { value: "gal", label: words.gallons },
        ]}
      />
      <ChoiceRow
        legend={words.distance}
        value={distance_unit}
        onValue={(value) => set({ distance_unit: value })}
        options={[
          { value: "km", label: words.kilometres },
          { value: "mi", label: words.miles },
        ]}
      />
    </Section>
  );
}

function Meaning() {
  const set = useSet();
  const words = labels.log.setting;
  const { own_minimum, specification } = settings.value;
  const none = { value: "", label: words.noSpecification };
  return (
    <Section title={words.meaning}>
      <NumberField
        label={words.minimum}
        unit="%"
        value={own_minimum}
        onValue={(value) => set({ own_minimum: value })}
        step={1}
        min={0}
        max={100}
        offered={70}
        hint={minimumHint()}
      />
      <SelectField
        label={words.specification}
        value={specification ?? ""}
        onValue={(value) => set({ specification: value === "" ? null : value })}
        options={[none, ...SPECIFICATIONS.map(({ code, name }) => ({ value: code, label: name }))]}
      />
    </Section>
  );
}

/** If there are several vehicles, this is about the one in use. */
function minimumHint(): string {
  const { rows } = vehicles.value;
  const used = inUse(vehicles.value);
  return used && rows.length > 1 ? labels.vehicles.minimumOf(vehicleName(used, rows)) : labels.log.setting.minimumHint;
}

function Testing() {
  const set = useSet();
  const words = labels.log.setting;
  const { settle_minutes, fuel_water, share } = settings.value;
  return (
    <Section title={words.testing}>
      <NumberField
        label={words.settle}
        unit={words.minutes}
        value={settle_minutes}
        onValue={(value) => set({ settle_minutes: value ?? DEFAULTS.settle_minutes })}
        step={1}
        min={1}
        max={120}
      />
      <NumberField
        label={words.fuelWater}
        unit="%"
        value={fuel_water}
        onValue={(value) => set({ fuel_water: value ?? DEFAULTS.fuel_water })}
        step={0.1}
        min={0}
        max={10}
        hint={words.fuelWaterHint}
      />
      <ChoiceRow
        legend={words.share}
        hint={words.shareHint}
        value={share === null ? null : share ? "share" : "stay"}
        onValue={(value) => set({ share: value === "share" })}
        options={[
          { value: "share", label: words.shares },
          { value: "stay", label: words.stays },
        ]}
      />
    </Section>
  );
}
