"""Who has sent something: an id that is shown, and the digest of a secret that is not."""

from collections.abc import Collection, Iterable
from datetime import datetime
from hmac import compare_digest

from sqlalchemy import select

from splitline.identity import Identity
from splitline.store.driver import Connection, add, fetch
from splitline.store.lists import among
from splitline.store.schema import contributors

DIGESTS = select(contributors.c.id, contributors.c.secret_digest).where(among(contributors.c.id, "ids"))


async def strangers(connection: Connection, identities: Iterable[Identity]) -> set[Identity]:
    """Return those of these people whose id another secret has taken, among the others too: the first has it."""
    asked = dict.fromkeys(identities)
    taken = dict(await fetch(connection, DIGESTS, ids={one.id for one in asked}))
    return {one for one in asked if not compare_digest(taken.setdefault(one.id, one.secret_digest), one.secret_digest)}


async def admit(connection: Connection, identities: Collection[Identity], now: datetime) -> None:
    """Note whoever of these people is not known yet."""
    known = dict(await fetch(connection, DIGESTS, ids={one.id for one in identities}))
    news = {one.id: (one.id, one.secret_digest, now) for one in identities if one.id not in known}
    await add(connection, contributors, list(news.values()))
