"""A backup: everything a server stores, as one zip with the tables as JSON Lines and the pictures as they are.

It is the same for both databases, so a backup of SQLite restores into PostgreSQL and the reverse. It is read from one
snapshot, so nobody waits. The manifest names each table's columns: a restore creates the tables of that version, fills
them, and migrates them.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import datetime
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZIP_STORED, ZipFile

from msgspec import Struct, json

from splitline import __version__
from splitline.errors import Problem, Unusable
from splitline.photos.store import Photos
from splitline.store import photos, snapshot
from splitline.store.engine import Connection, Store
from splitline.store.snapshot import TableForm

FORM = 1
MANIFEST = "splitline-backup.json"


class Maker(Struct, frozen=True, kw_only=True):
    """Header of every backup version. form: version of the format. splitline: the maker's version. schema: of the
    tables.
    """

    form: int
    splitline: str
    schema: str


class Manifest(Maker, frozen=True, kw_only=True):
    """Contents of a backup.

    pictures: how many are included, None if they were left where they are. gone: those withdrawn while the backup was
    made.
    """

    form: int
    splitline: str
    schema: str
    made_at: datetime
    tables: tuple[TableForm, ...]
    pictures: int | None = None
    gone: tuple[str, ...] = ()

    @property
    def rows(self) -> int:
        """Number of rows in all tables."""
        return sum(table.rows for table in self.tables)


async def back_up(store: Store, pictures: Photos | None, file: Path, now: datetime) -> Manifest:
    """Write a backup of this moment, while others go on reading and writing.

    pictures: None leaves them where they are. The file appears when it is complete and on the disk. Raises `Unusable`
    if it cannot be written or the database is empty, `StoreUnavailable` or `PhotosUnavailable`.
    """
    part = file.with_name(f"{file.name}.part")
    with _whole_or_nothing(file, part), ZipFile(part, "w", ZIP_DEFLATED) as archive:
        async with store.snapshot() as connection:
            schema = await snapshot.version(connection)
            if schema is None:
                raise Unusable([Problem("database_empty", "database", shown(store))])
            forms = await snapshot.forms(connection)
            for form in forms:
                await _write_table(archive, connection, form)
            digests = await photos.kept(connection) if pictures else []
        gone = [digest for digest in digests if pictures and not await _write_picture(archive, pictures, digest)]
        manifest = Manifest(
            form=FORM,
            splitline=__version__,
            schema=schema,
            made_at=now,
            tables=tuple(forms),
            pictures=len(digests) - len(gone) if pictures else None,
            gone=tuple(gone),
        )
        archive.writestr(MANIFEST, json.format(json.encode(manifest)))
    return manifest


async def _write_table(archive: ZipFile, connection: Connection, form: TableForm) -> None:
    encoder = json.Encoder()
    with archive.open(table_name(form), "w", force_zip64=True) as member:
        async for page in snapshot.pages(connection, form):
            member.write(encoder.encode_lines(page))


async def _write_picture(archive: ZipFile, pictures: Photos, digest: str) -> bool:
    """Add a picture; False if it was withdrawn since the snapshot."""
    body = await pictures.original(digest)
    if body is not None:
        archive.writestr(picture_name(digest), body, ZIP_STORED)
    return body is not None


def table_name(form: TableForm) -> str:
    """Return the path of a table in the file."""
    return f"tables/{form.name}.jsonl"


def picture_name(digest: str) -> str:
    """Return the path of a picture in the file."""
    return f"photos/{digest}"


def shown(store: Store) -> str:
    """Return a database's URL without its password."""
    return str(store.url.database) if store.on_sqlite else store.url.render_as_string(hide_password=True)


@contextmanager
def _whole_or_nothing(file: Path, part: Path) -> Iterator[None]:
    """Rename a file into place once it is on the disk; leave nothing behind on failure. Raises `Unusable`."""
    if file.exists():
        raise Unusable([Problem("backup_exists", str(file))])
    try:
        os.close(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600))
        yield
        for path in (part, file.parent):
            handle = os.open(path, os.O_RDONLY)
            os.fsync(handle)
            os.close(handle)
        part.rename(file)
    except OSError as fault:
        raise Unusable([Problem("backup_unwritable", str(file), fault.strerror or str(fault))]) from fault
    finally:
        with suppress(OSError):
            part.unlink()
