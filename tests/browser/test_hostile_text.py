"""Names and notes that contain markup or scripts: on another phone's screens they are plain text."""

import json
import urllib.request
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from playwright.sync_api import expect

from browser.phone import Phone
from helpers.examples import identifier, reading, secret, source
from helpers.server_process import Served

HOSTILE = [
    "<img src=x onerror=\"document.title='owned'\">",
    "<script>document.title='owned'</script>",
    '"><svg onload="document.title=\'owned\'">',
    "javascript:document.title='owned'",
    "{{constructor.constructor('document.title=1')()}} ${1+1} %s &lt;b&gt;",
]


def send(server: Served, *records: dict[str, Any]) -> None:
    body = json.dumps({"records": records}).encode()
    headers = {"Authorization": f"Bearer {secret(1)}", "Content-Type": "application/json"}
    request = urllib.request.Request(f"{server.url}/api/v1/push", body, headers, method="POST")
    with urllib.request.urlopen(request, timeout=60) as answer:
        statuses = [entry["status"] for entry in json.load(answer)["answers"]]
    assert statuses == ["stored"] * len(records)


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_is_shown_as_text(server: Served, phone: Callable[[str, str], Phone], text: str) -> None:
    yesterday = datetime.now(UTC) - timedelta(days=1)
    at = {"sampled_at": f"{yesterday:%Y-%m-%dT%H:00:00Z}", "tested_at": f"{yesterday:%Y-%m-%dT%H:20:00Z}"}
    place = source(1, (45.301, 2.503), name=text, pump=text[:20], notes=text)
    send(server, place, reading(1, at=1, note=text, **at))
    with phone("reader", server.url).open() as app:
        refused: list[str] = []
        app.page.on("console", lambda said: refused.append(said.text) if said.type == "error" else None)
        app.go("sources")
        main = app.page.locator("main")
        expect(main).to_contain_text(text)
        app.go(f"source/{identifier(1)}")
        expect(app.page.locator("h1")).to_contain_text(text)
        assert app.page.title() != "owned"
        assert main.locator("img[src='x'], script, svg[onload]").count() == 0
        assert app.faults == []
        assert not [said for said in refused if "Content Security Policy" in said]
