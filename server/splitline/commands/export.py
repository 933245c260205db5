"""`splitline export`: the public dataset of a region."""

import argparse
import sys
from collections.abc import AsyncGenerator
from contextlib import aclosing, nullcontext
from datetime import UTC, datetime
from pathlib import Path
from typing import IO

from splitline.archive.dataset import Export, csv_parts, geojson_parts
from splitline.archive.package import write_package
from splitline.commands import data
from splitline.commands.writing import written
from splitline.errors import Problem, Unusable
from splitline.figures.schedule import bring_up
from splitline.regions import Region, regions
from splitline.store.engine import Store


def run(chosen: argparse.Namespace) -> int:
    """Write the dataset. Raises `Unusable` if there is no such region or the file cannot be written."""
    region = regions().by_code(chosen.region)
    if region is None:
        raise Unusable([Problem("region_unknown", "region", chosen.region)])
    data.on_store(chosen, lambda store: _export(store, region, chosen.format, chosen.output))
    return 0


async def _export(store: Store, region: Region, kind: str, output: Path | None) -> None:
    await bring_up(store, lambda: datetime.now(UTC))
    export = Export(store, region.code)
    with written(output) if output else nullcontext(sys.stdout.buffer) as file:
        if kind == "package":
            await write_package(export, region, datetime.now(UTC), file)
        else:
            await _copy(csv_parts(export) if kind == "csv" else geojson_parts(export), file)


async def _copy(parts: AsyncGenerator[bytes], file: IO[bytes]) -> None:
    async with aclosing(parts):
        async for part in parts:
            file.write(part)
