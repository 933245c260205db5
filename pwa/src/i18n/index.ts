/**
 * The one place for what the app says: a folder for each language, in it a file for each place of the app.
 *
 * A language comes in two pieces. The first, `index.ts`, is there before the first screen is drawn; the rest comes with
 * the first part whose program is loaded later. So `labels` is read where something is said, never while a module is
 * being loaded, and what the page starts with reads the first piece only; `first-use.test.ts` looks after that.
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

/** Files with the language in their name, which is their name in the build: by it the worker keeps a whole language. */
const REST: Record<Language, () => Promise<Rest>> = {
  en: () => import("./en/en-rest"),
  fr: () => import("./fr/fr-rest"),
  pt: () => import("./pt/pt-rest"),
  sv: () => import("./sv/sv-rest"),
};

export const LANGUAGES = Object.keys(FIRST) as Language[];

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

/**
 * What the app says, in the language that was loaded last. A variable that modules import: whoever reads it has the
 * words of now, and no function has to be handed them.
 */
export let labels: Labels;

/** The language that `labels` is in. */
export const language = signal<Language>("en");

/** Something that is shown, or will be, says more than the first screen: from then on a language is loaded whole. */
let inFull = false;
let isWhole = false;

/** From now on the app speaks this language. */
export async function speak(next: Language): Promise<void> {
  const first = await FIRST[next]();
  // Until a part asks for it nobody reads the rest.
  labels = inFull ? { ...first, ...(await REST[next]()) } : (first as Labels);
  language.value = next;
}

/** Has everything that the app says. */
export async function speakInFull(): Promise<void> {
  if (isWhole) return;
  inFull = true;
  const now = language.value;
  const rest = await REST[now]();
  // Another language that came meanwhile came whole.
  if (language.value === now) labels = { ...labels, ...rest };
  isWhole = true;
}

/** The language to speak: the one that was chosen, else the first of the phone's that the app has, else English. */
export function languageFor(chosen: string | null, preferred: readonly string[]): Language {
  const wanted = [chosen ?? "", ...preferred].map((tag) => tag.toLowerCase().split("-")[0]);
  return wanted.find(isKnown) ?? "en";
}

function isKnown(tag: string | undefined): tag is Language {
  return (LANGUAGES as (string | undefined)[]).includes(tag);
}
