"""A region's dataset as one zip: the readings, the sources, and a data package descriptor."""

import zipfile
from collections.abc import AsyncGenerator
from contextlib import aclosing
from datetime import UTC, datetime
from typing import IO

from msgspec import json

from splitline.archive.dataset import GEOJSON, Export, csv_parts, geojson_parts
from splitline.archive.fields import FIELDS, Field
from splitline.records import LICENCE
from splitline.regions import Region

READINGS, SOURCES = "readings.csv", "sources.geojson"


def descriptor(region: Region, now: datetime) -> dict[str, object]:
    """Return the descriptor (Data Package and Table Schema, version 1), with the unit of every number."""
    return {
        "profile": "data-package",
        "name": f"splitline-{region.code.lower()}",
        "title": f"Ethanol content of fuel, {region.name} ({region.code})",
        "description": "Tube tests of ethanol fuel, each with its uncertainty. A text that starts like a formula "
        "has an apostrophe before it.",
        "created": f"{now.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}",
        "licenses": [
            {
                "name": LICENCE,
                "title": "Creative Commons Zero v1.0 Universal",
                "path": "https://creativecommons.org/publicdomain/zero/1.0/",
            }
        ],
        "resources": [
            {
                "profile": "tabular-data-resource",
                "name": "readings",
                "path": READINGS,
                "format": "csv",
                "mediatype": "text/csv",
                "encoding": "utf-8",
                "dialect": {"delimiter": ",", "lineTerminator": "\r\n", "doubleQuote": True, "header": True},
                "schema": {"fields": [_field(field) for field in FIELDS], "missingValues": [""]},
            },
            {"name": "sources", "path": SOURCES, "format": "geojson", "mediatype": GEOJSON, "encoding": "utf-8"},
        ],
    }


async def write_package(export: Export, region: Region, now: datetime, file: IO[bytes]) -> None:
    """Write the zip to an open file, a page at a time."""
    stamp = now.astimezone(UTC).timetuple()[:6]
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as package:
        for name, parts in ((READINGS, csv_parts(export)), (SOURCES, geojson_parts(export))):
            await _write(package, zipfile.ZipInfo(name, stamp), parts)
        package.writestr(zipfile.ZipInfo("datapackage.json", stamp), json.format(json.encode(descriptor(region, now))))


async def _write(package: zipfile.ZipFile, name: zipfile.ZipInfo, parts: AsyncGenerator[bytes]) -> None:
    name.compress_type = zipfile.ZIP_DEFLATED
    with package.open(name, "w") as entry:
        async with aclosing(parts):
            async for part in parts:
                entry.write(part)


def _field(field: Field) -> dict[str, object]:
    unit = {"unit": field.unit} if field.unit else {}
    return {"name": field.name, "type": field.kind, "description": field.meaning, **unit}
