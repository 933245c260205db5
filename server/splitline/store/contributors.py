"""Contributors: an id, and the digest of a secret. Neither is published."""

from collections.abc import Collection, Iterable, Mapping
from datetime import datetime
from hmac import compare_digest

from sqlalchemy import select

from splitline.identity import Identity
from splitline.store.array_param import among
from splitline.store.driver import Connection, add, fetch
from splitline.store.schema import contributors

DIGESTS = select(contributors.c.id, contributors.c.secret_digest).where(among(contributors.c.id, "ids"))
FIRST_SEEN = select(contributors.c.id, contributors.c.first_seen_at).where(among(contributors.c.id, "ids"))


async def first_seen(connection: Connection, ids: Iterable[str]) -> dict[str, datetime]:
    """Return when each of these contributors first sent something; without those who never did."""
    return dict(await fetch(connection, FIRST_SEEN, ids=set(ids)))


async def digests(connection: Connection, ids: Iterable[str]) -> dict[str, str]:
    """Return the digests of some contributors' secrets, by their ids."""
    return dict(await fetch(connection, DIGESTS, ids=set(ids)))


async def known(connection: Connection, identities: Iterable[Identity]) -> dict[str, str]:
    """Return the digests stored for these ids, whoever has taken them."""
    return await digests(connection, (one.id for one in identities))


async def is_theirs(connection: Connection, identity: Identity) -> bool:
    """Return whether an id belongs to this secret: compares the stored digest, not just the shorter id."""
    stored = (await digests(connection, [identity.id])).get(identity.id)
    return stored is not None and compare_digest(stored, identity.secret_digest)


def strangers(identities: Collection[Identity], taken: Mapping[str, str]) -> set[Identity]:
    """Return the identities whose id belongs to another secret, stored or earlier in the list."""
    first = dict(taken)
    return {
        one for one in identities if not compare_digest(first.setdefault(one.id, one.secret_digest), one.secret_digest)
    }


async def admit(
    connection: Connection, identities: Iterable[Identity], taken: Mapping[str, str], now: datetime
) -> None:
    """Add those of these contributors who are new."""
    news = {one.id: (one.id, one.secret_digest, now) for one in identities if one.id not in taken}
    await add(connection, contributors, list(news.values()))
