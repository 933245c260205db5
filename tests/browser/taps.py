"""Counts what a hand does: the browser sees every touch of the screen and every key of the keypad."""

from dataclasses import dataclass

from playwright.sync_api import Locator, Page, expect

# Runs before the page's own program, so that nothing can keep an event from being counted.
COUNTER = """
globalThis.hand = { touches: 0, keys: 0 };
addEventListener("pointerdown", () => { hand.touches += 1; }, true);
addEventListener("keydown", () => { hand.keys += 1; }, true);
"""


@dataclass(frozen=True)
class Count:
    """touches: taps and drags. keys: of the keypad, including Done. swipes: to scroll something into view."""

    touches: int
    keys: int
    swipes: int

    @property
    def taps(self) -> int:
        """Touches and keys together."""
        return self.touches + self.keys


class Hand:
    """Touches what is in view with a real pointer; otherwise swipes first, which is counted separately."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.swipes = 0

    def touch(self, target: Locator) -> None:
        """Tap the middle of something."""
        target = target.first
        expect(target).to_be_visible()
        if not target.evaluate(IN_REACH):
            self.swipes += 1
            target.evaluate("box => box.scrollIntoView({ block: 'center', behavior: 'instant' })")
        target.click()

    def press(self, keys: str) -> None:
        """Press keys of the keypad one by one."""
        for key in keys:
            self.page.keyboard.press(key)

    def count(self) -> Count:
        """The counts since the page was loaded."""
        seen = self.page.evaluate("hand")
        return Count(seen["touches"], seen["keys"], self.swipes)


# The middle of the target is on the screen and nothing covers it.
IN_REACH = """
box => {
  const { left, top, width, height } = box.getBoundingClientRect();
  const seen = document.elementFromPoint(left + width / 2, top + height / 2);
  return seen !== null && (box.contains(seen) || seen.contains(box));
}
"""
