"""The examples of a page as one doctest session; fences become blank lines, so that line numbers match."""

import doctest
import re
from pathlib import Path

LIBRARY = Path(__file__).parents[2] / "server" / "LIBRARY.md"


def session(page: Path = LIBRARY) -> doctest.DocTest:
    """The page's examples, in order."""
    text = re.sub(r"^```.*$", "", page.read_text(encoding="utf-8"), flags=re.MULTILINE)
    return doctest.DocTestParser().get_doctest(text, {}, page.name, str(page), 0)


def script(page: Path = LIBRARY) -> str:
    """The page's Python code, without the expected output."""
    return "".join(example.source for example in session(page).examples)
