"""Who has sent something: an id that is shown, and the digest of a secret that is not."""

from datetime import datetime
from hmac import compare_digest

from sqlalchemy import bindparam, select

from splitline.identity import Identity
from splitline.store.driver import Connection, add, fetch
from splitline.store.schema import contributors

DIGEST = select(contributors.c.secret_digest).where(contributors.c.id == bindparam("id"))


async def admit(connection: Connection, identity: Identity, now: datetime) -> bool:
    """Note a contributor at the first change; False when another secret has taken the id."""
    known = await fetch(connection, DIGEST, id=identity.id)
    if not known:
        await add(connection, contributors, [(identity.id, identity.secret_digest, now)])
    return all(compare_digest(digest, identity.secret_digest) for (digest,) in known)
