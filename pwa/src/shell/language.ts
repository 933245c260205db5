/** The language of the page: chosen in the settings, else the phone's. */

import { signal } from "@preact/signals";
import { type Language, labels, language, languageFor, speak } from "../labels";
import { readLanguage, saveLanguage } from "../store/language";

/** What was chosen; null follows the phone. */
export const chosen = signal<Language | null>(null);

/** Loads the labels that the first screen needs. */
export async function startLanguage(): Promise<void> {
  const kept = readLanguage();
  chosen.value = kept === null ? null : languageFor(kept, []);
  await follow();
}

export async function chooseLanguage(next: Language | null): Promise<void> {
  saveLanguage(next);
  chosen.value = next;
  await follow();
}

async function follow(): Promise<void> {
  const next = languageFor(chosen.value, navigator.languages);
  // Browsers drop single files when storage is short; then the other language is better than an empty page.
  await speak(next).catch(() => speak(next === "en" ? "fr" : "en"));
  document.documentElement.lang = language.value;
  document.querySelector("meta[name=description]")?.setAttribute("content", labels.common.description);
}
