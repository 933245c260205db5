"""GET /api/v1/contributors: each contributor's weight in some regions, by public pseudonym.

A contributor has one pseudonym for every calendar year with figures, whether or not they tested in it.
"""

from datetime import datetime, timedelta

from litestar import Response
from msgspec import json

from splitline.api import caching, reading
from splitline.api.services import HttpRequest, InjectedServices, reads
from splitline.api.shapes import Contributors, ContributorsQuery, ContributorWeight
from splitline.identity import pseudonym
from splitline.store import contributors, figures, influence, sequence
from splitline.store.visits import REMEMBERED


@reads("/api/v1/contributors", query=ContributorsQuery)
async def contributor_weights(request: HttpRequest, services: InjectedServices) -> Response[Contributors]:
    """Return the weights of contributors, by region."""
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
    # Sorted by pseudonym, so that the order does not link those of two years.
    found = tuple(
        ContributorWeight(region=region, contributor=who, weight=weight) for region, who, weight in sorted(named)
    )
    return caching.tagged(json.encode(Contributors(contributors=found)), tag)


def _years(now: datetime) -> range:
    """The calendar years that the figures rest on; the next one may already have begun somewhere."""
    return range((now - timedelta(days=REMEMBERED)).year, (now + timedelta(days=1)).year + 1)
