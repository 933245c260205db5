"""GET /api/v1/contributors: how much each contributor counts in some regions, by the names that everyone sees.

A contributor has one for every calendar year that figures rest on, whether they tested then or not.
"""

from datetime import datetime, timedelta

from litestar import Response
from msgspec import json

from splitline.api import caching, reading
from splitline.api.services import HttpRequest, Rooms, reads
from splitline.api.shapes import Contributors, ContributorsQuery, ContributorWeight
from splitline.identity import pseudonym
from splitline.store import contributors, figures, influence, sequence
from splitline.store.visits import REMEMBERED


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
        digests = await contributors.digests(connection, (row.contributor for row in rows))
    named = (
        (row.region, pseudonym(digests[row.contributor], row.region, year), row.weight)
        for row in rows
        for year in _years(services.now())
    )
    # In the order of the names: nothing else shall join those of two years.
    found = tuple(
        ContributorWeight(region=region, contributor=who, weight=weight) for region, who, weight in sorted(named)
    )
    return caching.tagged(json.encode(Contributors(contributors=found)), tag)


def _years(now: datetime) -> range:
    """The calendar years of what figures rest on; somewhere the next one may have begun."""
    return range((now - timedelta(days=REMEMBERED)).year, (now + timedelta(days=1)).year + 1)
