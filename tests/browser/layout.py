"""A page by its boxes: the browser measures, and names what sticks out, is cut off or lies over something else."""

from playwright.sync_api import Page

MEASURE = """
() => {
  const told = [];
  const wide = document.documentElement.clientWidth;
  const called = (box) => `<${box.tagName.toLowerCase()} class="${box.getAttribute("class") ?? ""}"> ` +
    `${(box.ariaLabel ?? box.textContent ?? "").trim().slice(0, 50)}`;
  const seen = (box) => box.checkVisibility({ opacityProperty: true, visibilityProperty: true }) &&
    !box.closest(".unseen, .skip, svg, canvas");
  const inside = (small, large) => small.left >= large.left - 1.5 && small.right <= large.right + 1.5 &&
    small.top >= large.top - 1.5 && small.bottom <= large.bottom + 1.5;

  const { scrollWidth } = document.scrollingElement;
  if (scrollWidth > wide) told.push(`the page is ${scrollWidth} wide`);

  const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (texts.nextNode()) {
    const text = texts.currentNode;
    const box = text.parentElement;
    if (text.data.trim() === "" || !seen(box) || box.closest("option, select")) continue;
    const range = document.createRange();
    range.selectNodeContents(text);
    const frames = [box.closest("button, .button, .choice-option, .leaf")];
    for (let above = box; above !== document.body; above = above.parentElement)
      if (/hidden|clip/.test(getComputedStyle(above).overflowX)) frames.push(above);
    for (const line of range.getClientRects()) {
      if (line.left < -1 || line.right > wide + 1) told.push(`off the screen: ${called(box)}`);
      for (const frame of frames)
        if (frame !== null && !inside(line, frame.getBoundingClientRect())) told.push(`cut off: ${called(box)}`);
    }
  }

  for (const field of document.querySelectorAll(".number input"))
    if (seen(field) && field.scrollWidth > field.clientWidth + 1) told.push(`figures cut off: ${field.value}`);

  const controls = [...document.querySelectorAll("main :is(button, a, .choice-option, select, textarea, summary)")]
    .filter(seen);
  for (const [at, one] of controls.entries())
    for (const other of controls.slice(at + 1)) {
      if (one.contains(other) || other.contains(one)) continue;
      const [here, there] = [one.getBoundingClientRect(), other.getBoundingClientRect()];
      const across = Math.min(here.right, there.right) - Math.max(here.left, there.left);
      const down = Math.min(here.bottom, there.bottom) - Math.max(here.top, there.top);
      if (across > 2 && down > 2) told.push(`${called(one)} lies over ${called(other)}`);
    }
  return [...new Set(told)];
}
"""

# What a page can be made to look like, and how the browser is told.
LOOKS = {
    "plain": "() => { document.documentElement.dir = 'ltr' }",
    "from right to left": "() => { document.documentElement.dir = 'rtl' }",
}


def faults(page: Page, picture: str) -> list[str]:
    """Measure a page in both directions; one sentence a fault. picture: how the files to look at begin."""
    found = []
    for look, change in LOOKS.items():
        page.evaluate(change)
        found += [f"{look}: {fault}" for fault in page.evaluate(MEASURE)]
        page.screenshot(path=f"{picture} {look}.png", full_page=True)
    return found
