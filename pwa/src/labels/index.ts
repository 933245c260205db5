/**
 * The one place for what the app says: a folder for each language, in it a file for each place of the app.
 *
 * A language is a chunk of its own that is there before the first screen is drawn. So `labels` is read where something
 * is said, never while a module is being loaded.
 */

import { signal } from "@preact/signals";
import type { labels as english } from "./en";

export type Labels = typeof english;

const LOADERS = {
  en: () => import("./en"),
  fr: () => import("./fr"),
  pt: () => import("./pt"),
  sv: () => import("./sv"),
} satisfies Record<string, () => Promise<{ labels: Labels }>>;

export type Language = keyof typeof LOADERS;

export const LANGUAGES = Object.keys(LOADERS) as Language[];

/** Each language by its own name, for those who cannot read the one that is spoken. */
export const NAMES: Record<Language, string> = {
  en: "English",
  fr: "Français",
  pt: "Português (Brasil)",
  sv: "Svenska",
};

/** Where the words are those of one country: what browsers and screen readers are told beyond the language. */
const TAGS: Partial<Record<Language, string>> = { pt: "pt-BR" };

/** A language as pages name it (BCP 47). */
export function tagOf(one: Language): string {
  return TAGS[one] ?? one;
}

/** What the app says, in the language that was loaded last. */
export let labels: Labels;

/** The language that `labels` is in. */
export const language = signal<Language>("en");

/** From now on the app speaks this language. */
export async function speak(next: Language): Promise<void> {
  labels = (await LOADERS[next]()).labels;
  language.value = next;
}

/** The language to speak: the one that was chosen, else the first of the phone's that the app has, else English. */
export function languageFor(chosen: string | null, preferred: readonly string[]): Language {
  const wanted = [chosen ?? "", ...preferred].map((tag) => tag.toLowerCase().split("-")[0]);
  return wanted.find(isKnown) ?? "en";
}

function isKnown(tag: string | undefined): tag is Language {
  return (LANGUAGES as (string | undefined)[]).includes(tag);
}
