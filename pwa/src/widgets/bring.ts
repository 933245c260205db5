/** Brings into view what is to be looked at next. */

/** Its top to the top of the screen; without a movement for who wants none. */
export function bring(box: Element | null | undefined): void {
  const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
  box?.scrollIntoView({ block: "start", behavior: calm ? "instant" : "smooth" });
}

/** To the first entry at fault, once the page shows that it is: a field gets the focus, of a choice its sentence is shown. */
export function bringFault(within: Element | null): void {
  requestAnimationFrame(() => {
    const first = within?.querySelector<HTMLElement>('[aria-invalid="true"], .fault');
    if (first?.matches(".fault")) first.scrollIntoView({ block: "center" });
    else first?.focus();
  });
}

/** To the field that a button waits for: one at fault, else the first that is empty, else the first. */
export function bringMissing(button: Element): void {
  const within = button.closest("form, .form, .stage-body, section");
  const fields = [
    ...(within?.querySelectorAll<HTMLInputElement>("input:not([type=radio], [type=file]), textarea") ?? []),
  ];
  const isWrong = (field: Element) => field.getAttribute("aria-invalid") === "true";
  (fields.find(isWrong) ?? fields.find((field) => field.value === "") ?? fields[0])?.focus();
}
