"""Layout check: the browser measures boxes and ink, and names what sticks out, is cut off or overlaps.

Line boxes are as high as the font says, and a button may be lower than that without cutting anything off. So the
height of text is measured by its ink: the browser's own glyph extents around the baseline.
"""

from collections.abc import Sequence
from pathlib import Path

from playwright.sync_api import Page

from browser import fonts

MEASURE = r"""
(looks) => {
  const root = document.documentElement;
  const pen = document.createElement("canvas").getContext("2d");
  const called = (box) => `<${box.tagName.toLowerCase()} class="${box.getAttribute("class") ?? ""}"> ` +
    `${(box.ariaLabel ?? box.textContent ?? "").trim().slice(0, 50)}`;
  const seen = (box) => box.checkVisibility({ opacityProperty: true, visibilityProperty: true }) &&
    !box.closest(".unseen, .skip, canvas, .leaflet-map-pane");
  const shared = (one, other) => [
    Math.min(one.right, other.right) - Math.max(one.left, other.left),
    Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top),
  ];

  const fontOf = (box) => {
    const { fontStyle, fontWeight, fontSize, fontFamily } = getComputedStyle(box);
    return `${fontStyle} ${fontWeight} ${fontSize} ${fontFamily}`;
  };
  const sizes = new Map();
  const sizeOf = (font, word) => {
    const key = `${font} ${word}`;
    if (!sizes.has(key)) {
      pen.font = font;
      sizes.set(key, pen.measureText(word));
    }
    return sizes.get(key);
  };
  // Where the ink of a word is that begins at the left end of a line's box; a drawing may have made both larger.
  const ink = (font, word, line) => {
    const size = sizeOf(font, word);
    const { fontBoundingBoxAscent: above, fontBoundingBoxDescent: below } = size;
    const scale = (line.bottom - line.top) / (above + below);
    const baseline = line.top + scale * above;
    return {
      left: line.left - scale * size.actualBoundingBoxLeft,
      right: line.left + scale * size.actualBoundingBoxRight,
      top: baseline - scale * size.actualBoundingBoxAscent,
      bottom: baseline + scale * size.actualBoundingBoxDescent,
    };
  };
  const glyphs = ({ text, font, line }) => {
    const range = document.createRange();
    const found = [];
    for (let at = 0; at < text.length; at += 1) {
      if (text.data[at].trim() === "") continue;
      range.setStart(text, at);
      range.setEnd(text, at + 1);
      const [place] = range.getClientRects();
      if (place !== undefined && Math.abs(place.top - line.top) < 1) found.push(ink(font, text.data[at], place));
    }
    return found;
  };

  // Every line of text with the boxes that it must be inside of. loose: it hangs over the page as the bar does.
  const written = () => {
    const lines = [];
    const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (texts.nextNode()) {
      const text = texts.currentNode;
      const box = text.parentElement;
      if (text.data.trim() === "" || !seen(box) || box.closest("option, select")) continue;
      const font = fontOf(box);
      const face = box.closest("button, .button, .choice-option, .leaf");
      const frames = face === null ? [] : [face.getBoundingClientRect()];
      let loose = false;
      for (let above = box; above !== document.body; above = above.parentElement) {
        const { overflowX, position } = getComputedStyle(above);
        if (/hidden|clip/.test(overflowX)) frames.push(above.getBoundingClientRect());
        loose ||= position === "fixed" || position === "sticky";
      }
      const range = document.createRange();
      range.selectNodeContents(text);
      for (const line of range.getClientRects()) {
        const { top, bottom } = ink(font, text.data, line);
        lines.push({ text, box, font, frames, loose, line, left: line.left, right: line.right, top, bottom });
      }
    }
    return lines;
  };

  const look = () => {
    const told = [];
    const wide = root.clientWidth;
    const { scrollWidth } = document.scrollingElement;
    if (scrollWidth > wide) told.push(`the page is ${scrollWidth} wide`);

    const lines = written();
    for (const one of lines) {
      if (one.left < -1 || one.right > wide + 1) told.push(`off the screen: ${called(one.box)}`);
      for (const frame of one.frames) {
        const inside = one.left >= frame.left - 1.5 && one.right <= frame.right + 1.5;
        const all = { top: one.top, bottom: one.bottom };
        const fits = ({ top, bottom }) => top >= frame.top - 1 && bottom <= frame.bottom + 1;
        if (!inside || !(fits(all) || glyphs(one).every(fits))) told.push(`cut off: ${called(one.box)}`);
      }
    }

    const firm = lines.filter((one) => !one.loose).sort((one, other) => one.top - other.top);
    const meet = (one, other) => shared(one, other).every((overlap) => overlap > 1);
    for (const [at, one] of firm.entries())
      for (const other of firm.slice(at + 1)) {
        if (other.top > one.bottom) break;
        if (!meet(one, other)) continue;
        const inks = glyphs(other);
        if (glyphs(one).some((glyph) => inks.some((ink) => meet(glyph, ink))))
          told.push(`${called(one.box)} is written over ${called(other.box)}`);
      }

    for (const field of document.querySelectorAll(".number input")) {
      const figures = field.value || field.placeholder;
      const { fontBoundingBoxAscent, fontBoundingBoxDescent } = sizeOf(fontOf(field), figures);
      // Browsers put the line in the middle.
      const [middle, half] = [field.clientHeight / 2, (fontBoundingBoxAscent + fontBoundingBoxDescent) / 2];
      const { top, bottom } = ink(fontOf(field), figures, { left: 0, top: middle - half, bottom: middle + half });
      const fits = field.scrollWidth <= field.clientWidth + 1 && top >= -1 && bottom <= field.clientHeight + 1;
      if (seen(field) && !fits) told.push(`figures cut off: ${figures}`);
    }

    const controls = [...document.querySelectorAll("main :is(button, a, .choice-option, select, textarea, summary)")]
      .filter(seen);
    for (const [at, one] of controls.entries())
      for (const other of controls.slice(at + 1)) {
        if (one.contains(other) || other.contains(one)) continue;
        const [across, down] = shared(one.getBoundingClientRect(), other.getBoundingClientRect());
        if (across > 2 && down > 2) told.push(`${called(one)} lies over ${called(other)}`);
      }
    return [...new Set(told)];
  };

  return looks.map(([direction, face]) => {
    root.dir = direction;
    root.style.setProperty("--face", face);
    return look();
  });
}
"""

# Looks to check: direction and font. The page's own look comes last.
LOOKS = {
    (font if direction == "ltr" else f"{font} from right to left"): (direction, face)
    for font, face in ((fonts.TALL, f'"{fonts.TALL}"'), (fonts.USUAL, ""))
    for direction in ("rtl", "ltr")
}


def measured(page: Page, looks: Sequence[str] = tuple(LOOKS)) -> dict[str, list[str]]:
    """The faults of a page in each look, one sentence each; the page keeps the last look."""
    return dict(zip(looks, page.evaluate(MEASURE, [LOOKS[look] for look in looks]), strict=True))


def faults(page: Page, picture: Path) -> list[str]:
    """The faults of a page in all looks. picture: file name prefix of the screenshots of looks with faults."""
    found = {look: told for look, told in measured(page).items() if told}
    for look in found:
        measured(page, [look])
        picture.parent.mkdir(parents=True, exist_ok=True)
        page.screenshot(path=f"{picture}, {look}.png", full_page=True)
    if found:
        measured(page, [fonts.USUAL])
    return [f"{look}: {fault}" for look, told in found.items() for fault in told]
