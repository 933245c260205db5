"""GET /api/v1/regions: figures by region, one region by month, and a region's outline."""

from litestar import Response
from litestar.params import FromPath
from msgspec import json
from shapely.geometry import mapping

from splitline.api import caching, reading
from splitline.api.outlines import MultiPolygon, OutlineNames, RegionOutline
from splitline.api.problems import RequestRefused
from splitline.api.services import HttpRequest, InjectedServices, reads
from splitline.api.shapes import NoQuery, RegionEntries, RegionEntry, RegionMonth, RegionPage, shown
from splitline.archive.dataset import GEOJSON
from splitline.chemistry.meaning import SPECIFICATIONS
from splitline.errors import Problem
from splitline.figures.figure_rows import figures_upto
from splitline.regions import Region, Regions
from splitline.statistics.histogram import share_within
from splitline.store import figures, sequence


@reads("/api/v1/regions")
async def list_regions(request: HttpRequest, services: InjectedServices) -> Response[RegionEntries]:
    """Return every region that has a source."""
    reading.query(request, NoQuery)
    async with services.store.read() as connection:
        head = await sequence.head(connection)
        tag = caching.tag_of_figures(head)
        if caching.unchanged(request, tag):
            return caching.not_modified(tag)
        rows = await figures.regions(connection)
    entries = []
    for row in rows:
        named = services.regions.by_code(row.region) or Region(row.region, row.region, row.region[:2])
        entries.append(shown(RegionEntry, row, code=named.code, name=named.name, country=named.country))
    return caching.tagged(json.encode(RegionEntries(regions=tuple(entries))), tag)


@reads("/api/v1/regions/{code:str}")
async def one_region(request: HttpRequest, services: InjectedServices, code: FromPath[str]) -> Response[RegionPage]:
    """Return a region by month."""
    reading.query(request, NoQuery)
    named = _named(services.regions, code)
    async with services.store.read() as connection:
        head = await sequence.head(connection)
        tag = caching.tag_of_figures(head)
        if caching.unchanged(request, tag):
            return caching.not_modified(tag)
        rows = await figures.months_of(connection, code)
        upto = await figures_upto(connection, head)
    months = tuple(shown(RegionMonth, row, inside=_inside(row.contents)) for row in rows)
    page = RegionPage(code=named.code, name=named.name, country=named.country, months=months, figures_upto=upto)
    return caching.tagged(json.encode(page), tag)


@reads("/api/v1/regions/{code:str}/outline", content={GEOJSON: RegionOutline})
async def region_outline(
    request: HttpRequest, services: InjectedServices, code: FromPath[str]
) -> Response[RegionOutline]:
    """Return the outline of a region, for drawing it."""
    reading.query(request, NoQuery)
    named = _named(services.regions, code)
    tag = f'W/"{services.regions.digest}"'
    if caching.unchanged(request, tag):
        return caching.not_modified(tag)
    drawn = services.regions.outline(code)
    feature = RegionOutline(
        properties=OutlineNames(code=named.code, name=named.name, country=named.country),
        geometry=MultiPolygon(coordinates=mapping(drawn)["coordinates"]) if drawn else None,
    )
    return caching.tagged(json.encode(feature), tag, GEOJSON)


def _named(known: Regions, code: str) -> Region:
    named = known.by_code(code)
    if named is None:
        raise RequestRefused(404, [Problem("not_found", "code", code[:60])])
    return named


def _inside(contents: str) -> dict[str, float]:
    """A month's visits sorted by each specification."""
    histogram = json.decode(contents, type=dict[int, int])
    return {one.code: share_within(histogram, one.minimum, one.maximum) for one in SPECIFICATIONS}
