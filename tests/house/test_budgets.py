"""Size limits and contents of the app's production build in pwa/dist."""

import base64
import gzip
import hashlib
import json
import re
from collections import defaultdict
from html.parser import HTMLParser
from pathlib import Path

import pytest
from PIL import Image

DIST = Path(__file__).parents[2] / "pwa" / "dist"
KILO = 1000

# A phone waits for the first piece of one of them before it draws: `fr-HASH.js`. The rest of it is `fr-rest-HASH.js`.
LANGUAGES = [path.stem for path in (Path(__file__).parents[2] / "pwa" / "src" / "i18n").iterdir() if path.is_dir()]

# Budgets, gzip: JavaScript before the first use, and everything that a phone installs.
FIRST_USE = 70 * KILO
INSTALLED = 350 * KILO


class Page(HTMLParser):
    """The scripts, styles and links of index.html."""

    def __init__(self) -> None:
        super().__init__()
        self.scripts: list[str] = []
        self.preloaded: list[str] = []
        self.inline: list[str] = []
        self._open = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        self._open = tag
        if tag == "script" and found.get("src"):
            self.scripts.append(str(found["src"]))
        if tag == "link" and found.get("rel") == "modulepreload":
            self.preloaded.append(str(found["href"]))
        if "style" in found or any(name.startswith("on") for name in found):
            self.inline.append(tag)

    def handle_data(self, data: str) -> None:
        if self._open in {"script", "style"} and data.strip():
            self.inline.append(self._open)

    def handle_endtag(self, tag: str) -> None:
        self._open = ""


def weight(path: Path) -> int:
    """Return the gzip size of a file, bytes."""
    return len(gzip.compress(path.read_bytes(), 9))


def precached() -> list[dict[str, str | None]]:
    """Return the service worker's precache list."""
    worker = (DIST / "worker.js").read_text(encoding="utf-8")
    found = re.search(r'\[\{"url":"/.*?\}\]', worker)
    assert found, "worker.js holds no precache list"
    listed: list[dict[str, str | None]] = json.loads(found[0])
    return listed


def installed() -> int:
    """Return the bytes that a phone installs: everything, with only English and the largest other language."""
    weights: dict[str | None, int] = defaultdict(int)
    for entry in precached():
        weights[entry.get("language")] += weight(DIST / str(entry["url"]).lstrip("/"))
    return weight(DIST / "worker.js") + weights.pop(None) + max(weights.values())


def needed_at_start(page: Page) -> set[Path]:
    """Return the scripts of the first use: the page's, those of a newcomer's first screen, and their imports."""
    [introduction] = DIST.glob("assets/method-*.js")
    waiting = [introduction, *(DIST / name.lstrip("/") for name in page.scripts + page.preloaded)]
    found: set[Path] = set()
    while waiting:
        script = waiting.pop()
        if script in found:
            continue
        found.add(script)
        at_once = re.findall(r'(?:\bfrom|\bimport)\s*["\'](\./[^"\']+\.js)["\']', script.read_text(encoding="utf-8"))
        waiting += [script.parent / name for name in at_once]
    return found


def first_use(page: Page) -> int:
    """Return the bytes of JavaScript loaded before the first use, in the largest language."""
    labels = [weight(file) for language in LANGUAGES for file in DIST.glob(f"assets/{language}-????????.js")]
    assert len(labels) == len(LANGUAGES) >= 2
    return sum(map(weight, needed_at_start(page))) + max(labels)


@pytest.fixture(scope="module")
def page() -> Page:
    """The build's start page; fails if nothing was built, because an unmeasured budget proves nothing."""
    index = DIST / "index.html"
    assert index.exists(), "pwa/dist is missing: install the package, or run `npm run build` in pwa"
    parsed = Page()
    parsed.feed(index.read_text(encoding="utf-8"))
    return parsed


def test_first_use_is_within_budget(page: Page) -> None:
    assert page.scripts
    total = first_use(page)
    print(f"\nJavaScript before first use: {total / KILO:.1f} kB gzip of {FIRST_USE / KILO:.0f}")
    assert total <= FIRST_USE


def test_installation_is_within_budget(page: Page) -> None:
    total = installed()
    print(f"\ninstalled: {total / KILO:.1f} kB gzip of {INSTALLED / KILO:.0f}")
    assert total <= INSTALLED


def test_every_file_is_precached(page: Page) -> None:
    listed = {str(entry["url"]) for entry in precached()}
    built = {f"/{file.relative_to(DIST).as_posix()}" for file in DIST.rglob("*") if file.is_file()}
    assert built - listed == {"/worker.js"}
    assert listed <= built


def test_unhashed_names_have_a_revision() -> None:
    for entry in precached():
        hashed = re.fullmatch(r"/assets/.+-[\w-]{8}\.\w+", str(entry["url"])) is not None
        assert hashed == (entry["revision"] is None), entry


def test_digests_match_the_files() -> None:
    for entry in precached():
        found = hashlib.sha256((DIST / str(entry["url"]).lstrip("/")).read_bytes()).digest()
        assert entry["integrity"] == f"sha256-{base64.b64encode(found).decode()}"


def test_there_is_no_inline_script_or_style(page: Page) -> None:
    assert page.inline == []


def test_the_manifest_makes_the_app_installable() -> None:
    manifest = json.loads((DIST / "manifest.webmanifest").read_text(encoding="utf-8"))
    assert {"name", "short_name", "start_url", "display", "icons"} <= manifest.keys()
    drawn = {
        (Image.open(DIST / icon["src"].lstrip("/")).size, icon["purpose"])
        for icon in manifest["icons"]
        if icon["type"] == "image/png"
    }
    assert {((192, 192), "any"), ((512, 512), "any"), ((512, 512), "maskable")} <= drawn
