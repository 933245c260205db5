"""Which pictures are kept, what they look like, and which tests show them; the bytes are elsewhere."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import asdict, dataclass, replace
from datetime import datetime

from sqlalchemy import delete, exists, insert, select, text, update
from sqlalchemy.ext.asyncio import AsyncConnection

from splitline.picture_hash import FARTHEST, bands, distance, reach
from splitline.store.rows import portions
from splitline.store.schema import photo_bands, photos, test_photos, tests
from splitline.store.tests import first_of_its_kind


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoRow:
    """A kept picture.

    digest: of the bytes as sent; bytes: size as kept; look: difference hash, 16 hex digits, if it shows anything;
    unnamed_since: set while no test names it.
    """

    digest: str
    contributor: str
    media_type: str
    bytes: int
    received_at: datetime
    leaving: bool = False
    look: str | None = None
    unnamed_since: datetime | None = None


async def by_digest(connection: AsyncConnection, digest: str) -> PhotoRow | None:
    """Return a picture that is kept and not leaving."""
    statement = select(photos).where(photos.c.digest == digest, photos.c.leaving.is_(False))
    row = (await connection.execute(statement)).one_or_none()
    return PhotoRow(**row._mapping) if row else None


async def served(connection: AsyncConnection, digest: str) -> PhotoRow | None:
    """Return a picture that a counted or a held test shows."""
    showing = (
        test_photos.c.digest == photos.c.digest,
        tests.c.region == test_photos.c.region,
        tests.c.id == test_photos.c.test,
        tests.c.state.in_(("counted", "held")),
    )
    row = await by_digest(connection, digest)
    named = await connection.execute(select(exists().where(photos.c.digest == digest, *showing)))
    return row if named.scalar() else None


async def put(connection: AsyncConnection, row: PhotoRow) -> None:
    """Note a picture, and whether a test already names it."""
    await _drop(connection, [row.digest])
    named = await connection.execute(select(exists().where(test_photos.c.digest == row.digest)))
    row = replace(row, unnamed_since=None if named.scalar() else row.received_at)
    await connection.execute(insert(photos), asdict(row))
    if row.look:
        keys = [{"key": key, "digest": row.digest} for key in bands(int(row.look, 16))]
        await connection.execute(insert(photo_bands), keys)


async def looks(connection: AsyncConnection, digests: Iterable[str]) -> dict[str, int]:
    """Return the hashes of those of these pictures that are kept and show something."""
    found: dict[str, int] = {}
    for portion in portions(digests):
        statement = select(photos.c.digest, photos.c.look).where(
            photos.c.digest.in_(portion), photos.c.leaving.is_(False), photos.c.look.is_not(None)
        )
        found.update((row.digest, int(row.look, 16)) for row in await connection.execute(statement))
    return found


async def alike(connection: AsyncConnection, looked: Mapping[str, int]) -> dict[str, set[str]]:
    """Return for pictures, by digest and hash, the other kept ones that look like them.

    The cost is that of the pictures asked for: others are found by the keys they share, not by going through all.
    """
    wanted: defaultdict[int, list[str]] = defaultdict(list)
    for digest, look in looked.items():
        for key in reach(look):
            wanted[key].append(digest)
    found: defaultdict[str, set[str]] = defaultdict(set)
    for portion in portions(wanted):
        statement = (
            select(photo_bands.c.key, photos.c.digest, photos.c.look)
            .join(photos, photos.c.digest == photo_bands.c.digest)
            .where(photo_bands.c.key.in_(portion), photos.c.leaving.is_(False))
        )
        for row in await connection.execute(statement):
            for digest in wanted[row.key]:
                if digest != row.digest and distance(looked[digest], int(row.look, 16)) <= FARTHEST:
                    found[digest].add(row.digest)
    return dict(found)


async def shown_by(connection: AsyncConnection, digests: Iterable[str]) -> list[tuple[str, str]]:
    """Return digest and id of the tests that show one of these pictures and are not twins of others."""
    found: list[tuple[str, str]] = []
    for portion in portions(digests):
        statement = select(test_photos.c.digest, test_photos.c.test).where(
            test_photos.c.digest.in_(portion),
            tests.c.region == test_photos.c.region,
            tests.c.id == test_photos.c.test,
            first_of_its_kind(),
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
    for portion in portions({pair["digest"] for pair in pairs}):
        named = update(photos).where(photos.c.digest.in_(portion), photos.c.unnamed_since.is_not(None))
        await connection.execute(named.values(unnamed_since=None))


async def dismiss(connection: AsyncConnection, digests: Iterable[str]) -> int:
    """Mark those of these pictures as leaving that no test shows any more; return how many."""
    marked = 0
    for portion in portions(digests):
        still_shown = exists().where(test_photos.c.digest == photos.c.digest)
        statement = update(photos).where(photos.c.digest.in_(portion), ~still_shown).values(leaving=True)
        marked += (await connection.execute(statement)).rowcount
    return marked


async def dismiss_unnamed(connection: AsyncConnection, before: datetime) -> int:
    """Mark those pictures as leaving that came before a moment and were never named; return how many."""
    statement = update(photos).where(photos.c.unnamed_since < before, photos.c.leaving.is_(False))
    return (await connection.execute(statement.values(leaving=True))).rowcount


async def kept(connection: AsyncConnection) -> list[str]:
    """Return the pictures that are kept and not leaving."""
    statement = select(photos.c.digest).where(photos.c.leaving.is_(False)).order_by(photos.c.digest)
    return list((await connection.execute(statement)).scalars())


async def leaving(connection: AsyncConnection) -> list[str]:
    """Return the pictures whose bytes are to go."""
    return list((await connection.execute(select(photos.c.digest).where(text("leaving")))).scalars())


async def forget(connection: AsyncConnection, digests: Iterable[str]) -> None:
    """Drop the notes of pictures whose bytes are gone."""
    for portion in portions(digests):
        still = select(photos.c.digest).where(photos.c.digest.in_(portion), photos.c.leaving.is_(True))
        await _drop(connection, (await connection.execute(still)).scalars().all())


async def _drop(connection: AsyncConnection, digests: Collection[str]) -> None:
    await connection.execute(delete(photo_bands).where(photo_bands.c.digest.in_(digests)))
    await connection.execute(delete(photos).where(photos.c.digest.in_(digests)))
