/**
 * The language that was chosen on this phone; null leaves it to the phone.
 *
 * The one setting outside IndexedDB: it is needed before that is open, also to say that it does not open.
 */

const PLACE = "language";

/** Null too where the browser keeps nothing for this page. */
export function readLanguage(): string | null {
  try {
    return localStorage.getItem(PLACE);
  } catch {
    return null;
  }
}

/** Where the browser keeps nothing, the choice lasts until the page is closed. */
export function saveLanguage(language: string | null): void {
  try {
    if (language === null) localStorage.removeItem(PLACE);
    else localStorage.setItem(PLACE, language);
  } catch {
    return;
  }
}
