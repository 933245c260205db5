/** Applies the chosen theme to the page; `auto` follows the phone. */

import { effect } from "@preact/signals";
import { settings } from "../state/signals";

export function startTheme(): void {
  effect(() => {
    const { look } = settings.value;
    if (look === "auto") delete document.documentElement.dataset.scheme;
    else document.documentElement.dataset.scheme = look;
  });
}
