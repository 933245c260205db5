"""`splitline backup`: a consistent copy of everything in one file, even while the server runs."""

import argparse
from datetime import UTC, datetime

from splitline.archive.backup import Manifest, back_up
from splitline.commands import data
from splitline.photos.store import Photos
from splitline.store.engine import Store


def run(chosen: argparse.Namespace) -> int:
    """Back up and report it, without migrating the database. Raises what `backup.back_up` raises."""
    place = data.where(chosen).photos

    async def work(store: Store) -> Manifest:
        pictures = None if chosen.without_photos else Photos(place, store)
        return await back_up(store, pictures, chosen.file, datetime.now(UTC))

    made = data.on_store(chosen, work, as_it_is=True)
    kept = f"and {made.pictures} pictures" if made.pictures is not None else f"the pictures were left in {place}"
    gone = f"; {len(made.gone)} pictures were withdrawn meanwhile" if made.gone else ""
    print(f"{chosen.file}: {made.rows} rows in {len(made.tables)} tables, {kept}{gone}.")
    return 0
