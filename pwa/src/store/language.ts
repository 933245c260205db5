/**
 * The language chosen on this phone; null follows the phone.
 *
 * The only setting outside IndexedDB: it is needed before that is open, and to report that it does not open.
 */

const PLACE = "language";

/** Also null if the browser stores nothing for this page. */
export function readLanguage(): string | null {
  try {
    return localStorage.getItem(PLACE);
  } catch {
    return null;
  }
}

/** If the browser stores nothing, the choice lasts until the page is closed. */
export function saveLanguage(language: string | null): void {
  try {
    if (language === null) localStorage.removeItem(PLACE);
    else localStorage.setItem(PLACE, language);
  } catch {
    return;
  }
}
