"""Every page in two fonts and both directions: in Swedish at 320 px, in French with text twice as large at 360 px."""

import re
from collections.abc import Callable, Iterator

from playwright.sync_api import Page, expect

from browser import french
from browser.conftest import PICTURES
from browser.fonts import TALL, USUAL
from browser.layout import LOOKS, faults, measured
from browser.phone import Opened, Phone, arrive
from browser.switches import LARGE_TEXT
from helpers.server_process import Served

STARTS = ["test", "sources", "fuel", "log", "repair", "nothing-here"]
PAGES_AT_LEAST = 15
LINKS = "[...document.querySelectorAll('a[href^=\"#/\"]')].map((link) => link.getAttribute('href').slice(2))"
# After a dialog's last control come the browser's own controls, and the page has no focus.
IN_DIALOG = "document.activeElement === document.body || document.activeElement.closest('dialog') !== null"
# Leave time for a slow page.
AT_REST = "new Promise((rested) => requestIdleCallback(() => rested()))"
OPEN_ALL = "for (const more of document.querySelectorAll('details')) more.open = true"


def kind(address: str) -> str:
    """The kind of a page: all addresses `source/0190…` are one kind."""
    return re.sub(r"[0-9a-f]{8}-[0-9a-f-]{27}|[A-Z]{2}-\w+", "…", address)


def pages(app: Opened) -> Iterator[str]:
    """Follow the links to one page of each kind."""
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


def test_nothing_is_cut_off_or_overlaps(club: Served, phone: Callable[..., Phone]) -> None:
    driver = phone("conductrice", club.url, "fr-FR")
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
        speak(app, "sv", "Svenska")
        app.page.set_viewport_size({"width": 320, "height": 800})
        found = look_at_all(app, "320 px, Swedish")
        speak(app, "fr", "Français")
        assert app.faults == []
    with driver.open(switches=[LARGE_TEXT]) as app:
        assert app.page.evaluate("getComputedStyle(document.documentElement).fontSize") == "32px"
        found += look_at_all(app, "text at 200 %, French")
        assert app.faults == []
    assert found == [], "\n".join(found)


def speak(app: Opened, code: str, name: str) -> None:
    """Choose a language in the settings."""
    app.go("settings")
    app.page.get_by_role("radio", name=name).check()
    expect(app.page.locator("html")).to_have_attribute("lang", code)


def look_at_all(app: Opened, size: str) -> list[str]:
    """Check one page of each kind in every look."""
    found, visited = [], []
    for page in pages(app):
        visited.append(page)
        told = faults(app.page, PICTURES / "layout" / f"{page.replace('/', '-')} {size}")
        found += [f"{page}, {size}, {fault}" for fault in told]
    assert len(visited) >= PAGES_AT_LEAST, visited
    return found


def focused(page: Page) -> str:
    """The focused element, named as a person would."""
    return str(page.evaluate("(document.activeElement?.ariaLabel || document.activeElement?.textContent || '').trim()"))


def read(page: Page) -> None:
    """Wait until the page has read its data."""
    expect(page.locator("main .waiting")).to_have_count(0)


def exchanged(app: Opened) -> None:
    """Reload and wait for the exchange with the server: until then some buttons are inactive."""
    with app.page.expect_response("**/api/v1/pull*"):
        app.page.reload()
    expect(app.page.locator("main h1")).to_be_visible()
    expect(app.page.locator(".standing")).to_contain_text("Dernière synchronisation")


def settled(page: Page) -> None:
    """Wait until the page stops changing: the end of a long list is drawn after its first rows."""
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


def test_every_control_can_be_reached_by_keyboard(club: Served, phone: Callable[..., Phone]) -> None:
    with phone("conductrice", club.url, "fr-FR").open() as app:
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


def test_a_dialog_traps_the_focus_and_returns_it(club: Served, phone: Callable[..., Phone]) -> None:
    with phone("conductrice", club.url, "fr-FR").open() as app:
        app.go("source/new")
        app.enter("Nom", "Relais de la Bruyère, route du Col")
        app.choose("plus tard")
        app.tap("Enregistrer cette station")
        retract = app.page.get_by_role("button", name="Retirer cette station")
        retract.focus()
        app.page.keyboard.press("Enter")
        dialog = app.page.get_by_role("dialog", name="Retirer cette station ?")
        expect(dialog).to_be_visible()
        expect(dialog.get_by_role("button", name="La garder")).to_be_focused()
        for _ in range(4):
            app.page.keyboard.press("Tab")
            assert app.page.evaluate(
                "document.activeElement === document.body || !!document.activeElement.closest('dialog')"
            )
        app.page.keyboard.press("Escape")
        expect(dialog).to_be_hidden()
        expect(retract).to_be_focused()


# Marks all controls to reach; of a group of radio buttons one, as browsers do.
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


# Styles that break the pages of a source and the settings, and the faults that the check must name.
SPOILED_SOURCE = {"is written over <text": ".chart-box { font-size: 2.5rem; }"}
SPOILED_SETTINGS = {
    "the page is": "main { inline-size: 30rem; }",
    "lies over": "main h2 ~ * button { position: fixed; inset: 0 auto auto 0; }",
    # Only the descenders of letters.
    "cut off: <h1": "main h1 { overflow: clip; block-size: 1em; }",
    "cut off: <button": ".number > button { block-size: 8px; min-block-size: 0; }",
    "figures cut off": ".field .number input { block-size: 1.25rem; min-block-size: 0; }",
    "is written over <p": "main p { line-height: 0.6; }",
}
SPOIL = """(rule) => {
  const style = new CSSStyleSheet();
  style.replaceSync(rule.replaceAll(";", " !important;"));
  document.adoptedStyleSheets = [style];
}"""


def test_the_layout_check_finds_deliberate_faults(club: Served, phone: Callable[..., Phone]) -> None:
    with phone("conductrice", club.url, "fr-FR").open() as app:
        app.go("sources")
        app.page.locator("main a.row").first.click()
        expect(app.page.locator(".chart-box")).to_be_visible()
        bites(app, SPOILED_SOURCE)
        app.go("settings")
        bites(app, SPOILED_SETTINGS)


def bites(app: Opened, spoiled: dict[str, str]) -> None:
    """Check that the page has no faults, and that each style's fault is found in every look."""
    settled(app.page)
    app.page.evaluate(SPOIL, "")
    assert measured(app.page) == {look: [] for look in LOOKS}
    for fault, style in spoiled.items():
        app.page.evaluate(SPOIL, style)
        for look, told in measured(app.page).items():
            assert any(fault in one for one in told), (fault, look, told)


# The browser reports the fonts of the last frame.
FACE = """(face) => new Promise((drawn) => {
  document.documentElement.style.setProperty("--face", face);
  requestAnimationFrame(() => requestAnimationFrame(() => drawn()));
})"""


def test_only_the_test_fonts_are_used(club: Served, phone: Callable[..., Phone]) -> None:
    """By the browser's own report of fonts used; the package of DejaVu Sans includes DejaVu Serif."""
    with phone("conductrice", club.url).open() as app:
        app.go("settings")
        asked = app.context.new_cdp_session(app.page)
        asked.send("DOM.enable")
        asked.send("CSS.enable")
        drawn = []
        for face in (LOOKS[USUAL][1], LOOKS[TALL][1], "DejaVu Serif"):
            app.page.evaluate(FACE, face)
            root = asked.send("DOM.getDocument")["root"]["nodeId"]
            title = asked.send("DOM.querySelector", {"nodeId": root, "selector": "main h1"})
            (one,) = asked.send("CSS.getPlatformFontsForNode", title)["fonts"]
            drawn.append(one["postScriptName"])
        assert drawn == ["DejaVuSans-Bold", "OpenSans-Bold", "DejaVuSans-Bold"]
