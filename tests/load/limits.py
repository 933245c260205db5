"""The limits in one run: the speed of plain databases with the same batches."""

from collections.abc import Iterable
from dataclasses import asdict

from load.databases import Postgresql, Speed, Sqlite, thin_rows
from load.notebooks import Notebooks
from load.report import Line

FILLING = 500
FILLED = 20_000
"""The most rows in the thin table before timing starts."""
OWN = 50
"""Size of a batch of the server's own rows."""
PREPARED, MOST = 40_000, 3000
"""Rows and batches for each measurement."""
THIN_NAME, OWN_NAME = "thin", "own rows"


class Limits:
    """Rows/s by kind of table, size of a batch and connections."""

    def __init__(self, plain: Sqlite | Postgresql, seconds: float) -> None:
        """seconds: at most, for each."""
        self._plain, self._seconds = plain, seconds
        self._speeds: dict[tuple[str, int, int], Speed] = {}
        self.select: float | None = None

    async def lines(self, notebooks: Notebooks, tests: int, sizes: Iterable[int]) -> list[Line]:
        """Measure all of them. tests: number on the server; the tables start with up to 20,000 of them."""
        fill = [thin_rows(batch) for batch in notebooks.batches(min(tests, FILLED) // FILLING, FILLING)]
        for size in sizes:
            wanted = min(int(PREPARED * min(1, self._seconds) / size) + 1, MOST)
            timed = [thin_rows(batch) for batch in notebooks.batches(wanted, size)]
            for connections in self._plain.connections:
                speed = await self._plain.thin(fill, timed, self._seconds, connections)
                self._speeds[THIN_NAME, size, connections] = speed
        for connections in self._plain.connections:
            self._speeds[OWN_NAME, OWN, connections] = await self._plain.own(self._seconds, connections)
        if isinstance(self._plain, Postgresql):
            self.select = await self._plain.selected(self._seconds, max(self._plain.connections))
        return self._told()

    def ratios(self, size: int, connections: int) -> dict[str, float]:
        """Return the rows/s to compare pushes of this size with."""
        return {
            kind: speed.records
            for (kind, of_size, over), speed in self._speeds.items()
            if of_size == size and over == min(connections, max(self._plain.connections))
        }

    def _told(self) -> list[Line]:
        found = [
            Line(f"plain {self._plain.name}, {kind}, batches of {size}, {over} at once", **asdict(speed))
            for (kind, size, over), speed in self._speeds.items()
        ]
        return found + ([Line("plain SELECT, pages of 500", records=self.select)] if self.select else [])
