/**
 * Everything the app says: a folder for each language, with a file for each place of the app.
 *
 * A language has two parts. The first, `index.ts`, is loaded before the first screen is drawn; the rest with the first
 * component that is loaded later. So read `labels` when something is shown, never while a module is loading, and use
 * only the first part in what the page starts with; `first-use.test.ts` checks this.
 */

import { signal } from "@preact/signals";

type First = typeof import("./en");
type Rest = typeof import("./en/en-rest");
export type Labels = First & Rest;

const FIRST = {
  en: () => import("./en"),
  fr: () => import("./fr"),
  pt: () => import("./pt"),
  sv: () => import("./sv"),
} satisfies Record<string, () => Promise<First>>;

export type Language = keyof typeof FIRST;

/**
 * The file names contain the language, which is also their name in the build: the service worker uses it to cache a
 * whole language.
 */
const REST: Record<Language, () => Promise<Rest>> = {
  en: () => import("./en/en-rest"),
  fr: () => import("./fr/fr-rest"),
  pt: () => import("./pt/pt-rest"),
  sv: () => import("./sv/sv-rest"),
};

export const LANGUAGES = Object.keys(FIRST) as Language[];

/** Each language's own name, for those who cannot read the current one. */
export const NAMES: Record<Language, string> = {
  en: "English",
  fr: "Français",
  pt: "Português (Brasil)",
  sv: "Svenska",
};

/** If the labels are those of one country: the tag for browsers and screen readers. */
const TAGS: Partial<Record<Language, string>> = { pt: "pt-BR" };

/** A language's BCP 47 tag, as pages use it. */
export function tagOf(one: Language): string {
  return TAGS[one] ?? one;
}

/**
 * What the app says, in the language that was loaded last. A variable that modules import: whoever reads it has the
 * words of now, and no function has to be handed them.
 */
export let labels: Labels;

/** The language of `labels`. */
export const language = signal<Language>("en");

/** Something shown needs more than the first screen's labels: from now on languages are loaded in full. */
let inFull = false;
let isWhole = false;

/** Switches the app to this language. */
export async function speak(next: Language): Promise<void> {
  const first = await FIRST[next]();
  // Nobody reads the rest until a component asks for it.
  labels = inFull ? { ...first, ...(await REST[next]()) } : (first as Labels);
  language.value = next;
}

/** Loads all labels. */
export async function speakInFull(): Promise<void> {
  if (isWhole) return;
  inFull = true;
  const now = language.value;
  const rest = await REST[now]();
  // If the language changed meanwhile, it was loaded in full.
  if (language.value === now) labels = { ...labels, ...rest };
  isWhole = true;
}

/** The language to use: the chosen one, else the first of the phone's that the app has, else English. */
export function languageFor(chosen: string | null, preferred: readonly string[]): Language {
  const wanted = [chosen ?? "", ...preferred].map((tag) => tag.toLowerCase().split("-")[0]);
  return wanted.find(isKnown) ?? "en";
}

function isKnown(tag: string | undefined): tag is Language {
  return (LANGUAGES as (string | undefined)[]).includes(tag);
}
