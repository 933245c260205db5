"""Who has sent something: an id, and the digest of a secret. Neither is given out to others."""

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
    """Return when those of these people were first heard of who ever sent something."""
    return dict(await fetch(connection, FIRST_SEEN, ids=set(ids)))


async def digests(connection: Connection, ids: Iterable[str]) -> dict[str, str]:
    """Return the digests of some contributors' secrets, by their ids."""
    return dict(await fetch(connection, DIGESTS, ids=set(ids)))


async def known(connection: Connection, identities: Iterable[Identity]) -> dict[str, str]:
    """Return the digests of those of these people's ids that are taken, by whomever."""
    return await digests(connection, (one.id for one in identities))


async def is_theirs(connection: Connection, identity: Identity) -> bool:
    """Return whether the id that a secret makes is this secret's: the kept digest is compared, not the shorter id."""
    kept = (await digests(connection, [identity.id])).get(identity.id)
    return kept is not None and compare_digest(kept, identity.secret_digest)


def strangers(identities: Collection[Identity], taken: Mapping[str, str]) -> set[Identity]:
    """Return those of these people whose id another secret has taken, among themselves too: the first has it."""
    first = dict(taken)
    return {
        one for one in identities if not compare_digest(first.setdefault(one.id, one.secret_digest), one.secret_digest)
    }


async def admit(
    connection: Connection, identities: Iterable[Identity], taken: Mapping[str, str], now: datetime
) -> None:
    """Note whoever of these people is not known yet."""
    news = {one.id: (one.id, one.secret_digest, now) for one in identities if one.id not in taken}
    await add(connection, contributors, list(news.values()))
