"""The examples of a page as one session: fences left out, so that the line numbers stay the page's."""

import doctest
import re
from pathlib import Path

LIBRARY = Path(__file__).parents[2] / "server" / "LIBRARY.md"


def session(page: Path = LIBRARY) -> doctest.DocTest:
    """The page's examples in their order."""
    text = re.sub(r"^```.*$", "", page.read_text(encoding="utf-8"), flags=re.MULTILINE)
    return doctest.DocTestParser().get_doctest(text, {}, page.name, str(page), 0)


def script(page: Path = LIBRARY) -> str:
    """What the page tells Python, without the answers."""
    return "".join(example.source for example in session(page).examples)
