"""`splitline backup`: a consistent copy of everything in one file, also while serving."""

import argparse
from datetime import UTC, datetime

from splitline.archive.backup import Manifest, back_up
from splitline.commands import data
from splitline.photos.store import Photos
from splitline.store.engine import Store


def run(chosen: argparse.Namespace) -> int:
    """Back up and say what was; the database keeps its version. Raises what `backup.back_up` raises."""
    place = data.where(chosen).photos

    async def work(store: Store) -> Manifest:
        pictures = None if chosen.without_photos else Photos(place, store)
        return await back_up(store, pictures, chosen.file, datetime.now(UTC))

    made = data.on_store(chosen, work, as_it_is=True)
    kept = f"and {made.pictures} pictures" if made.pictures is not None else f"the pictures stay in {place}"
    gone = f"; {len(made.gone)} pictures were taken back meanwhile" if made.gone else ""
    print(f"{chosen.file}: {made.rows} rows of {len(made.tables)} tables, {kept}{gone}.")
    return 0
