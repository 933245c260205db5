"""Which pictures are kept, and which tests show them; the bytes are elsewhere."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import delete, exists, insert, select, update
from sqlalchemy.ext.asyncio import AsyncConnection

from splitline.store.rows import portions, values
from splitline.store.schema import photos, test_photos, tests


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoRow:
    """A kept picture. digest: of the bytes as sent; bytes: size as kept."""

    digest: str
    contributor: str
    media_type: str
    bytes: int
    received_at: datetime
    leaving: bool = False


async def by_digest(connection: AsyncConnection, digest: str) -> PhotoRow | None:
    """Return a picture that is kept and not leaving."""
    statement = select(photos).where(photos.c.digest == digest, photos.c.leaving.is_(False))
    row = (await connection.execute(statement)).one_or_none()
    return PhotoRow(**row._mapping) if row else None


async def put(connection: AsyncConnection, row: PhotoRow) -> None:
    """Note a picture."""
    await connection.execute(delete(photos).where(photos.c.digest == row.digest))
    await connection.execute(insert(photos), values([row]))


async def shown_by(connection: AsyncConnection, digests: Iterable[str]) -> list[tuple[str, str]]:
    """Return digest and id of the counted tests that show one of these pictures."""
    found: list[tuple[str, str]] = []
    for portion in portions(digests):
        statement = select(test_photos.c.digest, test_photos.c.test).where(
            test_photos.c.digest.in_(portion),
            tests.c.region == test_photos.c.region,
            tests.c.id == test_photos.c.test,
            tests.c.state == "counted",
        )
        found += [(row.digest, row.test) for row in await connection.execute(statement)]
    return found


async def show(connection: AsyncConnection, shown: Collection[tuple[str, str, tuple[str, ...]]]) -> None:
    """Set which pictures tests show: region, id and digests of each test."""
    for portion in portions(test for _, test, _ in shown):
        await connection.execute(delete(test_photos).where(test_photos.c.test.in_(portion)))
    pairs = [
        {"region": region, "test": test, "digest": digest}
        for region, test, digests in shown
        for digest in dict.fromkeys(digests)
    ]
    if pairs:
        await connection.execute(insert(test_photos), pairs)


async def dismiss(connection: AsyncConnection, digests: Iterable[str]) -> int:
    """Mark those of these pictures as leaving that no test shows any more; return how many."""
    marked = 0
    for portion in portions(digests):
        still_shown = exists().where(test_photos.c.digest == photos.c.digest)
        statement = update(photos).where(photos.c.digest.in_(portion), ~still_shown).values(leaving=True)
        marked += (await connection.execute(statement)).rowcount
    return marked


async def leaving(connection: AsyncConnection) -> list[str]:
    """Return the pictures whose bytes are to go."""
    return list((await connection.execute(select(photos.c.digest).where(photos.c.leaving.is_(True)))).scalars())


async def forget(connection: AsyncConnection, digests: Iterable[str]) -> None:
    """Drop the notes of pictures whose bytes are gone."""
    for portion in portions(digests):
        await connection.execute(delete(photos).where(photos.c.digest.in_(portion), photos.c.leaving.is_(True)))
