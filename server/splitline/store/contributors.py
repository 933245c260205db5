"""Who has sent something: an id that is shown, and the digest of a secret that is not."""

from datetime import datetime
from hmac import compare_digest

from sqlalchemy import insert, select
from sqlalchemy.ext.asyncio import AsyncConnection

from splitline.identity import Identity
from splitline.store.schema import contributors


async def admit(connection: AsyncConnection, identity: Identity, now: datetime) -> bool:
    """Note a contributor at the first change; False when another secret has taken the id."""
    statement = select(contributors.c.secret_digest).where(contributors.c.id == identity.id)
    known = (await connection.execute(statement)).scalar()
    if known is None:
        row = {"id": identity.id, "secret_digest": identity.secret_digest, "first_seen_at": now}
        await connection.execute(insert(contributors), row)
    return known is None or compare_digest(known, identity.secret_digest)
