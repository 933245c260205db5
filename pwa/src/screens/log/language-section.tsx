/** The language of the app; it changes at once, and the choice keeps the focus although everything is redrawn. */

import { LANGUAGES, type Language, labels, NAMES, tagOf } from "../../i18n";
import { chooseLanguage } from "../../state/language";
import { chosenLanguage } from "../../state/signals";
import { ChoiceRow } from "../../widgets/choice-row";
import { Section } from "./section";

const AUTO = "phone";

export function LanguageSection() {
  const words = labels.log.setting;
  const take = async (value: Language | typeof AUTO) => {
    await chooseLanguage(value === AUTO ? null : value);
    document.querySelector<HTMLElement>(`input[type=radio][value=${value}]`)?.focus();
  };
  return (
    <Section title={words.language}>
      <ChoiceRow<Language | typeof AUTO>
        bare
        legend={words.language}
        value={chosenLanguage.value ?? AUTO}
        onValue={(value) => void take(value)}
        options={[
          { value: AUTO, label: words.languageAuto },
          ...LANGUAGES.map((value) => ({ value, label: <span lang={tagOf(value)}>{NAMES[value]}</span> })),
        ]}
      />
    </Section>
  );
}
