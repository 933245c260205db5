"""What a backup holds, and damaged copies of it."""

from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile

from msgspec import json

from helpers.examples import Json
from splitline.archive.backup import MANIFEST


def rewritten(file: Path, changed: dict[str, bytes], folder: Path) -> Path:
    """A copy of a backup with some members replaced, still a valid zip file."""
    copy = folder / "changed.zip"
    with ZipFile(file) as archive, ZipFile(copy, "w", ZIP_DEFLATED) as other:
        for name in archive.namelist():
            if changed.get(name) != b"":
                other.writestr(name, changed.get(name, archive.read(name)))
        for name in changed.keys() - set(archive.namelist()):
            other.writestr(name, changed[name])
    return copy


def manifest(file: Path, **changes: object) -> bytes:
    with ZipFile(file) as archive:
        said: Json = json.decode(archive.read(MANIFEST))
    return json.encode({**said, **changes})


def members(file: Path) -> dict[str, object]:
    """What a backup holds, without the database's own name; rows in any order."""
    with ZipFile(file) as archive:
        return {
            name: sorted(archive.read(name).splitlines())
            for name in archive.namelist()
            if name != "tables/sequence.jsonl"
        }
