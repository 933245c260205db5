"""Two versions of the app on one phone, and a server that is older or newer than the app."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from browser import stock
from browser.builds import LATER_WORD, later_build
from browser.phone import Opened, Phone, until
from browser.proxy import Middleman, Passing, between
from helpers.server_process import Served

PATIENCE = 60
READY = "A new version is ready."
TAKE = "Update now"
# As Chromium sometimes does: the worker gets the request and does not take over.
LOSE_FIRST_ASKING = """() => {
  const { postMessage } = ServiceWorker.prototype;
  ServiceWorker.prototype.postMessage = function (said) {
    if (said !== "take over") return postMessage.call(this, said);
    ServiceWorker.prototype.postMessage = postMessage;
  };
}"""
Phones = Callable[[str, str], Phone]


@pytest.fixture(scope="module")
def later(tmp_path_factory: pytest.TempPathFactory, hook: Any) -> Path:
    """The files of a later version of the app."""
    return later_build(tmp_path_factory.mktemp("later"), hook)


@pytest.fixture
def line(server: Served) -> Iterator[Middleman]:
    """A proxy to the server that can serve another build."""
    with between(server.url) as opened:
        yield opened


def runs_later(app: Opened) -> None:
    """Wait until the page runs the later build."""
    expect(app.page.locator("html")).to_have_attribute("data-build", "later", timeout=PATIENCE * 1000)


def runs_first(app: Opened) -> None:
    """Check that the page still runs the build it was opened with."""
    expect(app.page.locator("html")).not_to_have_attribute("data-build", "later")


def look_for_update(app: Opened) -> None:
    """Check for an update, as the browser does now and then."""
    app.page.evaluate("navigator.serviceWorker.getRegistration().then((found) => found.update())")


def test_an_update_waits_for_the_test_and_for_consent(line: Middleman, new_phone: Phones, later: Path) -> None:
    with new_phone("driver", line.url).open() as app:
        app.go()
        app.installed()
        app.begin_test()
        line.app = later
        look_for_update(app)
        banner = app.page.get_by_role("status").filter(has_text=READY)
        expect(banner).to_contain_text("You can update once the tube has settled.", timeout=PATIENCE * 1000)
        expect(app.page.get_by_role("button", name=TAKE)).to_have_count(0)
        app.reload()
        expect(app.page.get_by_role("timer")).to_be_visible()
        runs_first(app)
        app.read_line("88.8")
        expect(app.page.get_by_role("region", name="Result")).to_contain_text("82.6")
        runs_first(app)
        app.tap(TAKE)
        runs_later(app)
        expect(app.page.get_by_role("region", name="Result")).to_contain_text("82.6")
        expect(banner).to_have_count(0)
        assert app.faults == []


def test_an_update_includes_the_language_in_use(line: Middleman, new_phone: Phones, later: Path) -> None:
    driver = new_phone("driver", line.url)
    with driver.open() as app:
        app.go()
        app.installed()
        app.go("settings")
        app.page.get_by_role("radio", name="Svenska").check()
        expect(app.page.get_by_role("heading", level=1)).to_have_text("Inställningar")
        line.app = later
        look_for_update(app)
        app.tap("Ladda den nu")
        runs_later(app)
    with driver.open(offline=True) as app:
        app.go("settings")
        expect(app.page.get_by_role("heading", level=1)).to_have_text(LATER_WORD)
        assert app.faults == []


def test_a_newer_version_in_another_tab_retires_the_old_tab_without_loss(
    line: Middleman, new_phone: Phones, later: Path
) -> None:
    with new_phone("driver", line.url).open() as app:
        app.go()
        app.installed()
        app.add_source_here("Col des Lauzes")
        app.add_tube("20")
        line.app = later
        look_for_update(app)
        other = app.another_tab("log")
        other.page.evaluate(LOSE_FIRST_ASKING)
        other.tap(TAKE)
        runs_later(other)
        expect(app.page.get_by_role("alert")).to_contain_text("Another tab has opened a newer version.")
        # The old tab stays open, reports this once, and writes nothing more.
        other.go("source/new")
        other.enter("Name", "Pas de la Fougere")
        other.choose("later")
        other.tap("Save this station")
        expect(other.page.get_by_role("heading", name="Pas de la Fougere")).to_be_visible()
        expect(app.page.get_by_role("alert")).to_have_count(1)
        expect(app.page.get_by_role("button", name="I have read this")).to_be_visible()
        app.tap("Reload")
        runs_later(app)
        app.tap("I have read this")
        app.fill_and_shake()
        expect(app.page.get_by_role("timer")).to_be_visible()
        assert app.faults + other.faults == []


def test_answers_of_a_newer_server_do_no_harm(line: Middleman, new_phone: Phones) -> None:
    """One record gets an unknown kind of answer; pulled changes have unknown fields, kinds and a scale."""

    def later_words(passing: Passing) -> None:
        if passing.path.startswith("/api/v1/push"):
            said = passing.answer()
            for answer in said["answers"]:
                answer["status"] = "queued" if answer["kind"] == "test" else answer["status"]
                answer["place_in_queue"] = 7
            passing.say({**said, "advice": {"code": "later"}})
        if passing.path.startswith("/api/v1/pull"):
            said = passing.answer()
            passing.say({**said, "changes": [later_change(one) for one in said["changes"]] + of_later_kinds(said)})
        if passing.path == "/healthz":
            passing.say({**passing.answer(), "load": 0.5})

    with new_phone("other", line.url).open() as app:
        app.go()
        app.installed()
        app.keep_test("Pas de la Fougere")
        until(lambda: stock.count(app.page, "outbox") == 0, PATIENCE)
    line.change = later_words
    with new_phone("driver", line.url).open() as app:
        app.go()
        app.installed()
        until(lambda: stock.count(app.page, "figures") == 1, PATIENCE)
        app.page.reload()
        app.keep_test("Pas de la Fougere")
        until(lambda: "1 record refused by the server" in app.standing(), PATIENCE)
        (test,) = stock.rows(app.page, "own_tests")
        assert test["sync"]["state"] == "refused"
        app.go("log")
        app.page.locator("main a.row").first.click()
        expect(app.page.get_by_role("main")).to_contain_text("Update the app")
        app.go("sources")
        row = app.page.get_by_role("link", name="Pas de la Fougere")
        expect(row).to_contain_text("83 %")
        row.click()
        expect(app.page.get_by_role("main")).to_contain_text("82.6")
        # On a retry, or with the app's next version, the answer is understood.
        line.change = lambda _: None
        app.go("log")
        app.page.locator("main a.row").first.click()
        app.tap("Try again")
        until(lambda: stock.count(app.page, "outbox") == 0, PATIENCE)
        (test,) = stock.rows(app.page, "own_tests")
        assert test["sync"]["state"] == "sent"
        assert app.faults == []


def later_change(change: dict[str, Any]) -> dict[str, Any]:
    """Return a change with fields, a state and a scale that this version does not know."""
    record = change["record"] and {**change["record"], "season": "later"}
    if record and record["kind"] == "test":
        record["tube"] = {**record["tube"], "scale": "spiral"}
    return {**change, "record": record, "state": "starred", "seal": [1, 2]}


def of_later_kinds(page: dict[str, Any]) -> list[dict[str, Any]]:
    """Return one change of an unknown kind for each other change."""
    return [{**one, "kind": "weather", "record": {"kind": "weather", "id": one["id"]}} for one in page["changes"]]


def test_an_older_server_gets_only_what_it_understands(line: Middleman, new_phone: Phones) -> None:
    """It knows fewer fields: its answers lack them, and it refuses tests with an unknown field."""
    unknown = {"code": "field_foreign", "field": "runs[0].marks", "value": "", "limit": ""}
    sentence = "runs[0].marks is not a field of this record; leave it out."

    def earlier_words(passing: Passing) -> None:
        if passing.path.startswith("/api/v1/push"):
            said = passing.answer()
            for answer in said["answers"]:
                if answer["kind"] == "test":
                    answer |= {"status": "refused", "problems": [{**unknown, "sentence": sentence}]}
            lacking = [{k: v for k, v in answer.items() if k not in LATER} for answer in said["answers"]]
            passing.say({**said, "answers": lacking})
        if passing.path.startswith("/api/v1/pull"):
            said = passing.answer()
            changes = [{k: v for k, v in one.items() if k not in LATER} for one in said["changes"]]
            passing.say({**said, "changes": changes})
        if passing.path == "/healthz":
            passing.say({"status": "ok"})
        if passing.path == "/api/v1/regions":
            passing.say({"status": 404, "code": "not_found", "problems": []}, 404)

    line.change = earlier_words
    with new_phone("driver", line.url).open() as app:
        app.go()
        app.installed()
        app.keep_test()
        until(lambda: "1 record refused by the server" in app.standing(), PATIENCE)
        app.go("log")
        app.page.locator("main a.row").first.click()
        expect(app.page.get_by_role("main")).to_contain_text(sentence)
        app.go("sources")
        app.page.get_by_role("link", name="Col des Lauzes").click()
        expect(app.page.get_by_role("main")).to_contain_text("82.6")
        assert app.faults == []


# Fields added by later servers.
LATER = {"region", "flags", "into", "expanded_uncertainty"}
