"""Real servers on real databases, and the table of faults that a run prints at its end."""

import asyncio
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path

import asyncpg
import pytest

from faults.counting import Count

Tell = Callable[[str, str, Count], None]
"""Adds a count to the table: for which fault, on which database."""

HEADINGS = ("fault", "database", "sent", "stored", "lost", "doubled")
ROW = "fault"
numbers = count()


@dataclass(frozen=True)
class Place:
    """Where a test's server stores its data. options: for `splitline`; url: of the database."""

    engine: str
    folder: Path
    url: str
    options: tuple[str, ...] = field(default=())


def execute(url: str, statement: str) -> None:
    """Run one statement on PostgreSQL; works inside a running event loop too."""

    async def run() -> None:
        connection = await asyncpg.connect(url)
        await connection.execute(statement)
        await connection.close()

    with ThreadPoolExecutor() as thread:
        thread.submit(asyncio.run, run()).result()


@pytest.fixture
def new_database(postgresql_url: str) -> Iterator[Callable[[str], str]]:
    """Creates temporary databases on the PostgreSQL server, given the clauses of CREATE DATABASE."""
    made: list[str] = []

    def make(how: str = "") -> str:
        made.append(f"fault_{next(numbers)}")
        execute(postgresql_url, f"CREATE DATABASE {made[-1]} {how}")
        return f"{postgresql_url.rsplit('/', 1)[0]}/{made[-1]}"

    yield make
    for name in made:
        execute(postgresql_url, f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request: pytest.FixtureRequest, tmp_path: Path) -> Place:
    """Empty storage for a server, on each kind of database."""
    folder = tmp_path / "data"
    if request.param == "sqlite":
        return Place("sqlite", folder, f"sqlite:///{folder / 'splitline.sqlite3'}")
    url = request.getfixturevalue("new_database")()
    return Place("postgresql", folder, url, ("--database", url))


@pytest.fixture
def tell(record_property: Callable[[str, object], None]) -> Tell:
    """Adds a count to the table, and fails the test if anything is lost or doubled."""

    def tell(fault: str, engine: str, found: Count) -> None:
        # Sent with the test's report, so that the table is complete with several test processes.
        record_property(ROW, [fault, engine, *map(str, (found.sent, found.stored, found.lost, found.doubled))])
        assert (found.lost, found.doubled) == (0, 0), found
        assert found.sent > 0

    return tell


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """Print the table."""
    reports = [one for outcome in ("passed", "failed") for one in terminalreporter.getreports(outcome)]
    rows = [list(row) for one in reports if one.when == "call" for name, row in one.user_properties if name == ROW]
    if not rows:
        return
    terminalreporter.section("faults: what became of the records")
    widths = [max(len(row[column]) for row in (HEADINGS, *rows)) for column in range(len(HEADINGS))]
    for row in (HEADINGS, *sorted(rows)):
        cells = [cell.ljust(width) for cell, width in zip(row, widths, strict=True)]
        terminalreporter.write_line("  ".join(cells).rstrip())
