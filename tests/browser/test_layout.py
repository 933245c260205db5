"""Every page in French at 360 px: as it is, from right to left, and with text twice as large."""

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from browser import french
from browser.conftest import PICTURES
from browser.layout import faults
from browser.phone import Opened, Phone, arrive
from serving import Served, served

STARTS = ["test", "sources", "fuel", "log", "repair", "nothing-here"]
PAGES_AT_LEAST = 15
LINKS = "[...document.querySelectorAll('a[href^=\"#/\"]')].map((link) => link.getAttribute('href').slice(2))"
# Beyond the last control of a dialog the browser's own controls follow, and the page itself has no focus.
IN_DIALOG = "document.activeElement === document.body || document.activeElement.closest('dialog') !== null"
# On a slow phone the page itself takes its time.
AT_REST = "new Promise((rested) => requestIdleCallback(() => rested()))"
OPEN_ALL = "for (const more of document.querySelectorAll('details')) more.open = true"


@pytest.fixture
def demo(tmp_path: Path) -> Iterator[Served]:
    """A server filled with the invented club."""
    with served(tmp_path / "data", "--demo") as running:
        yield running


def kind(address: str) -> str:
    """Pages that differ only in what they are about: `source/0190…` is like any other source."""
    return re.sub(r"[0-9a-f]{8}-[0-9a-f-]{27}|[A-Z]{2}-\w+", "…", address)


def pages(app: Opened) -> Iterator[str]:
    """Walk along the links to one page of each kind."""
    waiting, been = list(STARTS), set()
    while waiting:
        address = waiting.pop(0)
        if kind(address) in been:
            continue
        been.add(kind(address))
        arrive(app.page, app.address, address)
        expect(app.page.locator("main :is(h1, h2):visible").first).to_be_visible()
        app.page.wait_for_load_state("networkidle")
        read(app.page)
        app.page.evaluate(OPEN_ALL)
        yield kind(address)
        waiting += app.page.evaluate(LINKS)


def test_nothing_is_cut_off_or_overlaps(demo: Served, phone: Callable[..., Phone]) -> None:
    driver = phone("conductrice", demo.url, "fr-FR")
    with driver.open() as app:
        app.go("sources")
        expect(app.page.locator("main a.row").nth(3)).to_be_visible()
        app.go("test")
        app.tap("Ajouter une station")
        french.add_source_here(app, "Relais de la Bruyère, route du Col")
        french.add_tube(app, "19,5")
        app.tap("J’ai lu")
        french.run(app, "88,8")
        app.tap("Commencer la mesure 2")
        french.run(app, "83,2")
        found = look_at_all(app, "text as it is")
        assert app.faults == []
    driver.set_text_size(32)
    with driver.open() as app:
        found += look_at_all(app, "text at 200 %")
        assert app.faults == []
    assert found == [], "\n".join(found)


def look_at_all(app: Opened, size: str) -> list[str]:
    """Measure one page of each kind in both directions."""
    folder = PICTURES / "layout"
    folder.mkdir(parents=True, exist_ok=True)
    found, visited = [], []
    for page in pages(app):
        visited.append(page)
        told = faults(app.page, str(folder / f"{page.replace('/', '-')} {size}"))
        found += [f"{page}, {size}, {fault}" for fault in told]
    assert len(visited) >= PAGES_AT_LEAST, visited
    return found


def focused(page: Page) -> str:
    """The element that has the focus, as a person would name it."""
    return str(page.evaluate("(document.activeElement?.ariaLabel || document.activeElement?.textContent || '').trim()"))


def read(page: Page) -> None:
    """Wait until what the page shows is read from storage."""
    expect(page.locator("main .waiting")).to_have_count(0)


def exchanged(app: Opened) -> None:
    """Load the page again and wait until it has met the server: meanwhile there are buttons that rest."""
    with app.page.expect_response("**/api/v1/pull*"):
        app.page.reload()
    expect(app.page.locator("main h1")).to_be_visible()
    expect(app.page.locator(".standing")).to_contain_text("Dernière synchronisation")


def settled(page: Page) -> None:
    """Wait until the page has stopped to change: of a long list the end is drawn after the first lines."""
    read(page)
    before = ""
    for _ in range(40):
        now = page.locator("main").inner_html()
        if now == before:
            return
        before = now
        page.wait_for_timeout(300)
        page.evaluate(AT_REST)
    raise AssertionError("the page goes on changing")


def test_the_keyboard_reaches_everything(demo: Served, phone: Callable[..., Phone]) -> None:
    with phone("conductrice", demo.url, "fr-FR").open() as app:
        app.go("sources")
        expect(app.page.locator("main a.row").nth(3)).to_be_visible()
        app.page.wait_for_load_state("networkidle")
        for place in ("test", "sources", "fuel", "log", "settings"):
            app.go(place)
            exchanged(app)
            settled(app.page)
            app.page.evaluate(OPEN_ALL)
            app.page.keyboard.press("Tab")
            assert focused(app.page) == "Aller au contenu"
            app.page.keyboard.press("Enter")
            assert app.page.evaluate("document.activeElement.id") == "content"
            wanted = app.page.evaluate(MARK)
            assert wanted > 0
            for _ in range(wanted + 12):
                app.page.keyboard.press("Tab")
                app.page.evaluate(REACHED)
            assert app.page.evaluate(MISSED) == []
        assert app.faults == []


def test_a_dialog_keeps_the_focus_and_gives_it_back(demo: Served, phone: Callable[..., Phone]) -> None:
    with phone("conductrice", demo.url, "fr-FR").open() as app:
        app.go("test")
        app.tap("Ajouter une station")
        app.page.get_by_role("textbox", name="Nom").fill("Relais")
        app.choose("plus tard")
        app.tap("Garder cette station")
        clear = app.page.get_by_role("button", name="Effacer cette fiche")
        clear.focus()
        app.page.keyboard.press("Enter")
        dialog = app.page.get_by_role("dialog", name="Effacer cette fiche")
        expect(dialog).to_be_visible()
        expect(dialog.get_by_role("button", name="La continuer")).to_be_focused()
        for _ in range(4):
            app.page.keyboard.press("Tab")
            assert app.page.evaluate(
                "document.activeElement === document.body || !!document.activeElement.closest('dialog')"
            )
        app.page.keyboard.press("Escape")
        expect(dialog).to_be_hidden()
        expect(clear).to_be_focused()


# Puts the second control of a page over the first.
COVER = """
() => {
  const [one, other] = document.querySelectorAll("main .button");
  const { left, top } = one.getBoundingClientRect();
  Object.assign(other.style, { position: "fixed", insetInlineStart: "auto", left: `${left}px`, top: `${top}px` });
}
"""
# Marks all that must be reached: of a group of radio buttons one, as browsers do it.
MARK = """
() => {
  const groups = new Set();
  const all = [...document.querySelectorAll("main :is(a[href], button, input, select, textarea, summary)")];
  const wanted = all.filter((box) => {
    if (!box.checkVisibility({ visibilityProperty: true }) || box.tabIndex < 0 || box.disabled) return false;
    if (box.type !== "radio") return true;
    if (groups.has(box.name)) return false;
    groups.add(box.name);
    return true;
  });
  globalThis.wanted = wanted;
  globalThis.reached = new Set();
  globalThis.blind = [];
  return wanted.length;
}
"""
# A focus that cannot be seen counts as not reached.
REACHED = """
() => {
  const box = document.activeElement;
  const shown = [box, box.closest("label, .number")];
  const seen = shown.some((one) => {
    const { outlineStyle, outlineWidth } = one === null ? {} : getComputedStyle(one);
    return one !== null && outlineStyle !== "none" && parseFloat(outlineWidth) >= 2;
  });
  if (seen) reached.add(box.type === "radio" ? box.name : box);
}
"""
MISSED = """
() => wanted
  .filter((box) => !reached.has(box.type === "radio" ? box.name : box))
  .map((box) => `${box.tagName} ${box.type ?? ""} ${box.ariaLabel ?? box.labels?.[0]?.textContent ?? box.textContent}`)
"""


def test_the_measure_bites(demo: Served, phone: Callable[..., Phone]) -> None:
    with phone("conductrice", demo.url, "fr-FR").open() as app:
        app.go("fuel")
        assert faults(app.page, str(PICTURES / "measure")) == []
        app.page.evaluate("document.querySelector('main').style.inlineSize = '30rem'")
        assert any("the page is" in fault for fault in faults(app.page, str(PICTURES / "measure")))
        app.page.evaluate("document.querySelector('main').style.inlineSize = ''")
        app.page.evaluate(COVER)
        assert any("lies over" in fault for fault in faults(app.page, str(PICTURES / "measure")))
