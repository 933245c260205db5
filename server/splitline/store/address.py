"""Database URLs: as operators write them, and with the drivers we use."""

from pathlib import Path

from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError

from splitline.errors import Problem, Unusable

ACCEPTED = "sqlite:///FILE, postgresql://..."
DRIVERS = {
    "sqlite": "sqlite+aiosqlite",
    "sqlite+aiosqlite": "sqlite+aiosqlite",
    "postgres": "postgresql+asyncpg",
    "postgresql": "postgresql+asyncpg",
    "postgresql+asyncpg": "postgresql+asyncpg",
}


def with_driver(text: str) -> str:
    """Return a URL with its driver. Raises `Unusable` for other databases and for in-memory ones.

    `?patience=5`: how long a writer waits for others, s.
    """
    try:
        url = make_url(text)
    except ArgumentError as fault:
        raise Unusable([Problem("database_url", "database", "", ACCEPTED)]) from fault
    driver = DRIVERS.get(url.drivername)
    patient = str(url.query.get("patience", "1")).replace(".", "", 1).isdecimal()
    if driver is None or not patient or (driver.startswith("sqlite") and url.database in (None, "", ":memory:")):
        shown = url.render_as_string(hide_password=True)
        raise Unusable([Problem("database_url", "database", shown, ACCEPTED)])
    return url.set(drivername=driver).render_as_string(hide_password=False)


def sqlite_file(text: str) -> Path | None:
    """Return the file of a SQLite database; None for any other."""
    url = make_url(text)
    return Path(str(url.database)) if url.get_backend_name() == "sqlite" else None


def missing_file(text: str) -> str | None:
    """Return the path of a SQLite database that does not exist yet; None for any other."""
    file = sqlite_file(text)
    return str(file) if file and not file.is_file() else None
