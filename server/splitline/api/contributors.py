"""GET /api/v1/contributors: how much each contributor counts in some regions."""

from litestar import Response
from msgspec import json

from splitline.api import caching, reading
from splitline.api.services import HttpRequest, Rooms, reads
from splitline.api.shapes import Contributors, ContributorsQuery, ContributorWeight, shown
from splitline.store import figures, influence, sequence


@reads("/api/v1/contributors", query=ContributorsQuery)
async def contributor_weights(request: HttpRequest, services: Rooms) -> Response[Contributors]:
    """Return how much contributors count, by region."""
    query = reading.query(request, ContributorsQuery)
    async with services.store.read() as connection:
        head = await sequence.head(connection)
        tag = caching.tag_of_figures(head)
        if caching.unchanged(request, tag):
            return caching.not_modified(tag)
        regions = query.region.split(",") if query.region else [row.region for row in await figures.regions(connection)]
        rows = await influence.weights_in(connection, regions)
    found = tuple(shown(ContributorWeight, row) for row in sorted(rows, key=lambda row: (row.region, row.contributor)))
    return caching.tagged(json.encode(Contributors(contributors=found)), tag)
