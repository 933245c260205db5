"""What leaves the phone on paper or as a code: a can's label, a source's record, the secret, a source's address."""

import io
from collections.abc import Callable
from unicodedata import normalize

import zxingcpp
from PIL import Image
from playwright.sync_api import Locator, expect
from pypdf import PdfReader

from browser.phone import Opened, Phone, known_as, until
from helpers.server_process import Served

PhoneOf = Callable[[str, str], Phone]
SPACES = str.maketrans({"\u00a0": " ", "\n": " "})


def paper(app: Opened) -> str:
    """The text of the printed page."""
    printed = PdfReader(io.BytesIO(app.page.pdf(format="A4")))
    # Replace ligatures and no-break spaces by plain characters.
    return normalize("NFKC", " ".join(page.extract_text() for page in printed.pages)).translate(SPACES)


def read(code: Locator) -> str:
    """The content of a QR code, read from a screenshot by an independent library.

    It retries as a scanner would, since content above may still be rendered and move the code.
    """
    found: list[str] = []

    def seen() -> bool:
        code.scroll_into_view_if_needed()
        pictured = Image.open(io.BytesIO(code.screenshot()))
        found[:] = [str(one.text) for one in zxingcpp.read_barcodes(pictured)]
        return bool(found)

    until(seen)
    (text,) = found
    return text


def test_a_cans_label_is_printed(server: Served, phone: PhoneOf) -> None:
    with phone("driver", server.url).open() as app:
        app.keep_test("Relais du Sureau noir")
        app.go("fuel/can/new")
        app.enter("Name of the can", "Red can")
        app.enter("In the can now", "20")
        app.page.get_by_role("radio", name="Relais du Sureau noir").check()
        app.page.get_by_role("combobox", name="Content from").select_option(index=1)  # the only test there
        app.tap("Save this can")
        app.tap("Red can")
        app.tap("Label for this can")
        app.page.get_by_role("checkbox", name="QR code of its station").check()
        code = app.page.get_by_role("img", name="QR code of the page of Relais du Sureau noir")
        assert read(code).startswith(f"{server.url}/#/source/")
        app.picture("can-label")

        label = paper(app)
        assert "Red can" in label
        assert "Ethanol 82.6 ± " in label
        assert "Relais du Sureau noir" in label
        assert "Retest by" in label
        assert "Highly flammable liquid and vapour" in label
        assert "safety data sheet" in label
        # No buttons and no navigation are printed.
        for word in ("Print the label", "Stations", "Back"):
            assert word not in label
        assert app.faults == []


def test_a_sources_record_is_printed(club: Served, phone: PhoneOf) -> None:
    with phone("driver", club.url).open() as app:
        app.go("sources")
        app.page.get_by_role("link", name="Station du Lac rond").click()
        expect(app.page.get_by_role("heading", name="All tests")).to_be_visible()
        app.tap("Show as a QR code")
        address = read(app.page.get_by_role("img", name="QR code of the page"))
        assert address == app.page.url
        app.tap("Record to print")
        rows = app.page.locator(".record-tests tbody tr")
        expect(rows.nth(20)).to_be_visible()
        expect(app.page.locator(".chart circle").first).to_be_visible()
        app.picture("record")

        record = paper(app)
        assert "Station du Lac rond" in record
        assert "Cantal" in record
        for words in (
            "Expected now",
            "Next fill (9 fills in 10)",
            "At least (19 fills in 20)",
            "Demo with invented data",
        ):
            assert words in record
        # Every test is listed with its uncertainty.
        tests = [row.inner_text().translate(SPACES).split("\t")[1] for row in rows.all()]
        assert len(tests) > 20
        assert all("±" in one and one in record for one in tests)
        assert "Print the record" not in record
        assert app.faults == []


def test_the_secret_moves_to_another_phone_by_code(server: Served, phone: PhoneOf) -> None:
    with phone("old", server.url).open() as app:
        app.keep_test("Relais du Sureau noir")
        app.go("log")
        expect(app.page.get_by_text("Sent", exact=True)).to_be_visible()
        app.go("settings")
        number = known_as(app)
        app.go("settings/move")
        app.tap("Show the code")
        text = read(app.page.get_by_role("img", name="QR code of this phone's secret"))
        spelled = app.page.locator(".spelled").inner_text()
        assert text.replace(" ", "").lower() == "splitline" + spelled.replace(" ", "")
        app.picture("move")
    with phone("new", server.url).open() as app:
        app.go("settings/move")
        app.enter("Code as text", "0123")
        app.tap("Use this code")
        expect(app.page.get_by_text("This is not a valid code")).to_be_visible()
        app.enter("Code as text", text)
        app.tap("Use this code")
        expect(app.page.get_by_role("dialog")).to_contain_text(number)
        app.tap("Use that identity")
        expect(app.page.get_by_text(f"This phone's contributor ID is now {number}")).to_be_visible()
        # Shared records are one's own here too.
        app.go("log")
        until(lambda: app.page.locator("main a.row").count() == 1)
        expect(app.page.locator("main a.row")).to_contain_text("Relais du Sureau noir")
        assert app.faults == []
