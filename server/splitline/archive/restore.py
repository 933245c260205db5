"""Restores a backup into an empty place, completely or not at all."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from zipfile import ZipFile

from msgspec import DecodeError, json

from splitline.archive.backup import FORM, MANIFEST, Maker, Manifest, picture_name, shown, table_name
from splitline.errors import Problem, Unusable
from splitline.photos.store import Photos
from splitline.store import sequence, snapshot
from splitline.store.engine import Connection, Store
from splitline.store.migrate import is_newer, remaking
from splitline.store.schema import HEAD
from splitline.store.snapshot import Misfit, TableForm

PICTURES = "photos/"
DIGEST = re.compile("[0-9a-f]{64}")


async def restore(store: Store, pictures: Photos, file: Path) -> Manifest:
    """Restore everything in one transaction, and start a new epoch, so that phones pull from the start.

    Raises `Unusable` if the file is no complete backup that this version can read or the place is not empty;
    `SchemaTooOld`, `StoreUnavailable`, `StoreFull` or `PhotosUnavailable`. Then nothing is left behind.
    """
    with _opened(file) as archive:
        _check(archive, file)
        manifest = _manifest(archive, file)
        async with store.read() as connection:
            if not await snapshot.is_empty(connection):
                raise Unusable([Problem("database_not_empty", "database", shown(store))])
        if not await pictures.is_empty():
            raise Unusable([Problem("photos_not_empty", "photos", pictures.place)])
        put: list[str] = []
        try:
            for digest in _digests(archive):
                put.append(digest)
                await pictures.put_back(digest, archive.read(picture_name(digest)))
            async with remaking(store) as (connection, make):
                await make(manifest.schema)
                await _fill(connection, archive, manifest)
                await make(HEAD)
                await sequence.begin_epoch(connection)
        except BaseException:
            for digest in put:
                await pictures.take_away(digest)
            raise
    return manifest


async def _fill(connection: Connection, archive: ZipFile, manifest: Manifest) -> None:
    """Fill the tables as they were at the time of the backup, and migrate them."""
    if await snapshot.shapes(connection) != {form.name: form.columns for form in manifest.tables}:
        raise Misfit(MANIFEST)
    for form in manifest.tables:
        await snapshot.fill(connection, form, _rows(archive, form))


def _rows(archive: ZipFile, form: TableForm) -> Iterator[Any]:
    """Read a table's rows. Raises `Misfit` if the number or form of the rows differs from the manifest."""
    decoder = json.Decoder(form.row_type)
    count = 0
    with archive.open(table_name(form)) as member:
        for line in member:
            yield decoder.decode(line)
            count += 1
    if count != form.rows:
        raise Misfit(f"{table_name(form)} has {count} rows, not {form.rows}")


@contextmanager
def _opened(file: Path) -> Iterator[ZipFile]:
    """Open a backup; faults inside are reported against the file. Raises `Unusable`."""
    try:
        archive = ZipFile(file)
    except OSError as fault:
        raise Unusable([Problem("backup_unreadable", str(file), fault.strerror or str(fault))]) from fault
    except Exception as fault:  # zipfile raises many kinds of exception on damaged bytes, here and below
        raise Unusable([Problem("backup_foreign", str(file))]) from fault
    with archive:
        try:
            yield archive
        except (Misfit, KeyError, DecodeError, UnicodeDecodeError) as fault:
            raise Unusable([Problem("backup_damaged", str(file), str(fault))]) from fault


def _manifest(archive: ZipFile, file: Path) -> Manifest:
    """Read the manifest. Raises `Unusable`, `SchemaTooOld`."""
    if MANIFEST not in archive.namelist():
        raise Unusable([Problem("backup_foreign", str(file))])
    text = archive.read(MANIFEST)
    maker = json.decode(text, type=Maker)
    if maker.form != FORM or is_newer(maker.schema):
        raise Unusable([Problem("backup_newer", str(file), maker.splitline)])
    return json.decode(text, type=Manifest)


def _check(archive: ZipFile, file: Path) -> None:
    """Read the whole file before anything is written. Raises `Unusable`."""
    try:
        bad = archive.testzip()
    except Exception as fault:
        bad = str(fault)
    if bad is not None:
        raise Unusable([Problem("backup_damaged", str(file), bad)])


def _digests(archive: ZipFile) -> list[str]:
    """The pictures inside. Raises `Misfit` if a name is not a digest."""
    digests = [name.removeprefix(PICTURES) for name in archive.namelist() if name.startswith(PICTURES)]
    strange = [digest for digest in digests if not DIGEST.fullmatch(digest)]
    if strange:
        raise Misfit(PICTURES + strange[0])
    return digests
