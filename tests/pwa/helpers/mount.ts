/** Mounts a component on an empty page and finds things as a person does: by role, name and text. */

import { type ComponentChild, h, render } from "preact";
import { act } from "preact/test-utils";
import { PageProvider } from "@/state/page";
import { newPage } from "./page";

export interface Mounted {
  root: HTMLElement;
  /** Renders the component again with other props. */
  again: (part: ComponentChild) => void;
  button: (name: string) => HTMLButtonElement;
  text: () => string;
}

let root: HTMLElement | null = null;

export function mount(part: ComponentChild, page = newPage()): Mounted {
  const box = document.body.appendChild(document.createElement("div"));
  root = box;
  const again = (next: ComponentChild) => act(() => render(h(PageProvider, { value: page }, next), box));
  void again(part);
  const button = (name: string) => {
    const found = [...box.querySelectorAll("button")].find((one) => nameOf(one) === plain(name));
    if (!found) throw new Error(`no button "${name}" in: ${box.textContent}`);
    return found;
  };
  return { root: box, again, button, text: () => plain(box.textContent ?? "") };
}

/** The text with ordinary spaces. */
export function plain(text: string): string {
  return text.replaceAll("\u00a0", " ");
}

export function unmount(): void {
  if (root) {
    render(null, root);
    root.remove();
  }
  root = null;
}

export function nameOf(element: Element): string {
  return plain(element.getAttribute("aria-label") ?? element.textContent ?? "");
}

export { act };
