"""`splitline restore`: restores a backup into an empty place."""

import argparse
from pathlib import Path

from splitline.archive.backup import Manifest
from splitline.archive.restore import restore
from splitline.commands import data
from splitline.photos.store import Photos
from splitline.store.address import missing_file
from splitline.store.engine import Store


def run(chosen: argparse.Namespace) -> int:
    """Restore and report it; a database file created here is removed again on failure."""
    what = data.where(chosen)
    new = missing_file(what.database)

    async def work(store: Store) -> Manifest:
        return await restore(store, Photos(what.photos, store), chosen.file)

    try:
        made = data.in_store(what, work, as_it_is=True)
    except BaseException:
        for ending in ("", "-wal", "-shm") if new else ():
            Path(f"{new}{ending}").unlink(missing_ok=True)
        raise
    kept = (
        f"and {made.pictures} pictures" if made.pictures is not None else "no pictures: they were left where they were"
    )
    print(f"{made.rows} rows in {len(made.tables)} tables {kept}, as of {made.made_at:%Y-%m-%d %H:%M:%S} UTC.")
    return 0
