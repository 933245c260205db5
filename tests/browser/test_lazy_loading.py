"""Screens whose code is loaded on demand: with the connection cut meanwhile, and with a file gone."""

from collections.abc import Callable

from playwright.sync_api import expect

from browser.phone import Opened, Phone
from helpers.server_process import Served

Phones = Callable[..., Phone]
# As browsers do when storage is short: delete single files.
FORGET = """async (start) => {
  for (const name of await caches.keys()) {
    const cache = await caches.open(name);
    for (const request of await cache.keys()) {
      if (new URL(request.url).pathname.startsWith(start)) await cache.delete(request);
    }
  }
}"""
ABSENT = "This part of the app did not load."


def forget(app: Opened, start: str) -> None:
    """Cut the connection, then delete files from all caches: the idle page would fetch them again."""
    app.offline()
    app.page.evaluate(FORGET, start)
    app.context.new_cdp_session(app.page).send("Network.clearBrowserCache")


def test_an_installed_app_reloads_while_the_connection_drops(server: Served, phone: Phones) -> None:
    with phone("driver", server.url).open() as app:
        app.go("log")
        app.installed()
        for _ in range(5):
            app.page.evaluate("globalThis.isOld = true; setTimeout(() => location.reload())")
            app.offline()
            app.page.wait_for_function("globalThis.isOld === undefined")
            expect(app.page.get_by_role("heading", name="Log")).to_be_visible()
            app.offline(False)
        assert app.faults == []


def test_a_missing_screen_can_be_loaded_again(server: Served, phone: Phones) -> None:
    with phone("driver", server.url).open() as app:
        app.go()
        app.installed()
        forget(app, "/assets/fuel-")
        app.page.reload()
        app.page.get_by_role("navigation", name="Main menu").get_by_role("link", name="Fuel").click()
        notice = app.page.get_by_role("alert").filter(has_text=ABSENT)
        expect(notice).to_be_visible()
        app.picture("absent")
        app.tap("Try again")
        expect(notice).to_be_visible()
        # The other screens still work.
        app.page.get_by_role("navigation", name="Main menu").get_by_role("link", name="Log").click()
        expect(app.page.get_by_role("heading", name="Log")).to_be_visible()
        app.page.go_back()
        expect(notice).to_be_visible()
        app.offline(False)
        app.tap("Try again")
        expect(app.page.get_by_role("heading", name="Fuel")).to_be_visible()
        assert app.faults == []


def test_an_incomplete_language_falls_back_to_another(server: Served, phone: Phones) -> None:
    with phone("conductrice", server.url, "fr-FR").open() as app:
        app.go()
        app.installed()
        forget(app, "/assets/fr-rest-")
        app.page.reload()
        # The first screen has all its labels.
        expect(app.page.get_by_role("heading", name="Essai", exact=True)).to_be_visible()
        app.page.get_by_role("link", name="Carnet").click()
        notice = app.page.get_by_role("alert").filter(has_text="Cette partie")
        expect(notice).to_be_visible()
        app.tap("Réessayer")
        expect(app.page.get_by_role("heading", name="Log")).to_be_visible()
        expect(app.page.locator("html")).to_have_attribute("lang", "en")
        assert app.faults == []
