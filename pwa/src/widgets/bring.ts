/** Scrolls what matters next into view. */

/** Scrolls its top to the top of the screen; without animation if the person prefers reduced motion. */
export function bring(box: Element | null | undefined): void {
  const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
  box?.scrollIntoView({ block: "start", behavior: calm ? "instant" : "smooth" });
}

/** Moves to the first invalid entry once its fault is shown: focuses a field, scrolls to a choice's sentence. */
export function bringFault(within: Element | null): void {
  requestAnimationFrame(() => {
    const first = within?.querySelector<HTMLElement>('[aria-invalid="true"], .fault');
    if (first?.matches(".fault")) first.scrollIntoView({ block: "center" });
    else first?.focus();
  });
}

/** Moves to the field that a button waits for: the first invalid one, else the first empty one, else the first. */
export function bringMissing(button: Element): void {
  const within = button.closest("form, .form, .stage-body, section");
  const fields = [
    ...(within?.querySelectorAll<HTMLInputElement>("input:not([type=radio], [type=file]), textarea") ?? []),
  ];
  const isWrong = (field: Element) => field.getAttribute("aria-invalid") === "true";
  (fields.find(isWrong) ?? fields.find((field) => field.value === "") ?? fields[0])?.focus();
}
