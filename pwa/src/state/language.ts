/** The language of the page: chosen in the settings, else the phone's. */

import { LANGUAGES, type Language, labels, language, languageFor, speak, speakInFull, tagOf } from "../i18n";
import { readLanguage, saveLanguage } from "../store/language";
import { chosenLanguage } from "./signals";

/** Loads the labels that the first screen needs. */
export async function startLanguage(): Promise<void> {
  const kept = readLanguage();
  chosenLanguage.value = kept === null ? null : languageFor(kept, []);
  await follow();
}

export async function chooseLanguage(next: Language | null): Promise<void> {
  saveLanguage(next);
  chosenLanguage.value = next;
  await follow();
}

async function follow(): Promise<void> {
  await switchToOneOf([languageFor(chosenLanguage.value, navigator.languages), ...LANGUAGES]);
}

/** Loads all labels: in the language of the page or, if this phone has lost part of it, in another. */
export async function loadAllLabelsInAny(): Promise<void> {
  await speakInFull().catch(() => switchToOneOf(LANGUAGES));
}

/** Browsers drop single files when storage is short; then another language is better than an empty page. */
async function switchToOneOf([first, ...others]: readonly Language[]): Promise<void> {
  if (first === undefined) return;
  await speak(first).then(describePage, (fault) => (others.length > 0 ? switchToOneOf(others) : Promise.reject(fault)));
}

function describePage(): void {
  document.documentElement.lang = tagOf(language.value);
  document.querySelector("meta[name=description]")?.setAttribute("content", labels.common.description);
}
