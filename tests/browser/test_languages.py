"""A test in French, with the phone set to French or French chosen in the app; every other language offline."""

from collections.abc import Callable

import pytest
from playwright.sync_api import expect

from browser import french
from browser.phone import Phone, until
from helpers.server_process import Served
from house.test_budgets import DIST

SOURCE = "Relais de la Bruyère"

# Phone setting; the page's lang; the language's own name; titles of the test and the settings.
# Cached language files other than English.
INSTALLED = "caches.open('languages').then((kept) => kept.keys()).then((all) => all.map((one) => one.url))"
OTHERS = [
    ("pt-BR", "pt-BR", "Português (Brasil)", "Teste", "Ajustes"),
    ("sv-SE", "sv", "Svenska", "Test", "Inställningar"),
]


def test_a_test_can_be_done_in_french(server: Served, phone: Callable[..., Phone]) -> None:
    with phone("conductrice", server.url, "fr-FR").open() as app:
        app.go()
        app.installed()
        app.offline()
        app.page.reload()
        expect(app.page.locator("html")).to_have_attribute("lang", "fr")
        expect(app.page).to_have_title("Essai · Splitline")
        french.add_source_here(app, SOURCE)
        french.add_tube(app, "19,5")
        app.tap("J’ai lu")
        app.picture("french-sheet")
        french.run(app, "88,8")
        app.tap("Commencer la mesure 2")
        french.run(app, "89.0")
        result = app.page.get_by_role("region", name="Résultat")
        expect(result).to_contain_text("82,8")
        app.bring(result)
        app.picture("french-result")
        app.tap("Enregistrer cet essai")
        expect(app.page.get_by_text("L’essai est sur ce téléphone")).to_be_visible()
        app.go("log")
        expect(app.page.get_by_role("main")).to_contain_text(SOURCE)
        expect(app.page.get_by_role("main")).to_contain_text("82,")
        app.picture("french-log")
        assert app.faults == []


def test_a_chosen_language_applies_at_once_and_persists(server: Served, phone: Callable[..., Phone]) -> None:
    driver = phone("driver", server.url)
    with driver.open() as app:
        app.go()
        app.go("settings")
        app.page.get_by_role("radio", name="Français").check()
        expect(app.page.get_by_role("heading", level=1)).to_have_text("Réglages")
        expect(app.page.locator("html")).to_have_attribute("lang", "fr")
        expect(app.page.get_by_role("radio", name="Français")).to_be_focused()
        expect(app.page).to_have_title("Carnet · Splitline")
        app.picture("french-settings")
        assert app.faults == []
    with driver.open() as app:
        app.go("settings")
        expect(app.page.get_by_role("heading", level=1)).to_have_text("Réglages")
        language = app.page.get_by_role("group", name="Langue")
        language.get_by_role("radio", name="comme le téléphone").click()
        expect(app.page.get_by_role("heading", level=1)).to_have_text("Settings")
        expect(app.page.get_by_role("radio", name="same as phone").last).to_be_focused()


@pytest.mark.parametrize(("phone_language", "lang", "name", "test", "settings"), OTHERS)
def test_the_phones_language_is_used_offline(
    server: Served, phone: Callable[..., Phone], phone_language: str, lang: str, name: str, test: str, settings: str
) -> None:
    with phone("motorista", server.url, phone_language).open() as app:
        app.go()
        app.installed()
        app.offline()
        app.page.reload()
        expect(app.page.locator("html")).to_have_attribute("lang", lang)
        expect(app.page).to_have_title(f"{test} · Splitline")
        app.go("settings")
        expect(app.page.get_by_role("heading", level=1)).to_have_text(settings)
        expect(app.page.get_by_role("radio", name=name)).to_be_visible()
        app.picture(f"{lang}-settings")
        assert app.faults == []


@pytest.mark.parametrize(("lang", "name", "settings"), [(one[1], one[2], one[4]) for one in OTHERS])
def test_a_chosen_language_stays_offline(
    server: Served, phone: Callable[..., Phone], lang: str, name: str, settings: str
) -> None:
    driver = phone("driver", server.url)
    with driver.open() as app:
        app.go()
        app.installed()
        app.go("settings")
        assert app.page.evaluate(INSTALLED) == [], "only languages in use are installed"
        app.page.get_by_role("radio", name=name).check()
        expect(app.page.get_by_role("heading", level=1)).to_have_text(settings)
        until(lambda: len(app.page.evaluate(INSTALLED)) == 2)
    with driver.open(offline=True) as app:
        app.go("settings")
        expect(app.page.locator("html")).to_have_attribute("lang", lang)
        expect(app.page.get_by_role("heading", level=1)).to_have_text(settings)
        assert app.faults == []


def test_a_language_is_cached_completely_from_its_first_file(server: Served, phone: Callable[..., Phone]) -> None:
    [first] = DIST.glob("assets/sv-????????.js")
    with phone("driver", server.url).open() as app:
        app.go()
        app.installed()
        app.page.evaluate("(name) => fetch(`/assets/${name}`).then((answer) => answer.text())", first.name)
        until(lambda: len(app.page.evaluate(INSTALLED)) == 2)
        assert sorted(url.split("/")[-1] for url in app.page.evaluate(INSTALLED)) == sorted(
            file.name for file in DIST.glob("assets/sv-*.js")
        )
