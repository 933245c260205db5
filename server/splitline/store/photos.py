"""Pictures: their hashes, and the tests that show them; the bytes are stored elsewhere."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from datetime import datetime

from msgspec import Struct
from msgspec.structs import replace
from sqlalchemy import Text, and_, bindparam, delete, exists, or_, select, text, type_coerce, update

from splitline.perceptual_hash import FARTHEST, bands, distance, reach
from splitline.store import driver
from splitline.store.array_param import among
from splitline.store.driver import Connection, execute, fetch, fetch_as
from splitline.store.rows import DUPLICATE, values
from splitline.store.schema import photo_bands, photos, test_photos, tests


class PhotoRow(Struct, frozen=True, kw_only=True):
    """A stored picture.

    digest: of the bytes as sent; bytes: size as stored; look: difference hash, 16 hex digits, unless it is blank;
    leaving: to be deleted; unnamed_since: set while no test names it.
    """

    digest: str
    contributor: str
    media_type: str
    bytes: int
    received_at: datetime
    leaving: bool = False
    look: str | None = None
    unnamed_since: datetime | None = None


AMONG = among(photos.c.digest, "digests")
STAYS = photos.c.leaving.is_(False)
BY_DIGEST = select(photos).where(photos.c.digest == bindparam("digest"), STAYS)
NAMED = select(test_photos.c.test).where(test_photos.c.digest == bindparam("digest")).limit(1)
BY_TEST = and_(tests.c.region == test_photos.c.region, tests.c.id == test_photos.c.test)
VISIBLE = or_(tests.c.state == "counted", tests.c.state == "held")
SHOWN = NAMED.where(BY_TEST, VISIBLE)
# Whether a test counts or not, it is not a duplicate itself.
IS_FIRST = ~type_coerce(tests.c.flags, Text).contains(DUPLICATE, autoescape=True)
SHOWN_BY = select(test_photos.c.digest, test_photos.c.test).where(
    among(test_photos.c.digest, "digests"), BY_TEST, IS_FIRST
)
LOOKS = select(photos.c.digest, photos.c.look).where(AMONG, STAYS, photos.c.look.is_not(None))
ALIKE = (
    select(photo_bands.c.key, photos.c.digest, photos.c.look)
    .join(photos, photos.c.digest == photo_bands.c.digest)
    .where(among(photo_bands.c.key, "keys"), STAYS)
)
HIDE = delete(test_photos).where(among(test_photos.c.test, "tests"))
NAME = update(photos).where(AMONG, photos.c.unnamed_since.is_not(None)).values(unnamed_since=None)
LEAVE = update(photos).values(leaving=True).returning(photos.c.digest)
DISMISS = LEAVE.where(AMONG, ~exists().where(test_photos.c.digest == photos.c.digest))
DISMISS_UNNAMED = LEAVE.where(photos.c.unnamed_since < bindparam("before"), STAYS)
KEPT = select(photos.c.digest).where(STAYS).order_by(photos.c.digest)
LEAVING = select(photos.c.digest).where(text("leaving"))
GOING = select(photos.c.digest).where(AMONG, photos.c.leaving.is_(True))
DROP = (delete(photo_bands).where(among(photo_bands.c.digest, "digests")), delete(photos).where(AMONG))


async def by_digest(connection: Connection, digest: str) -> PhotoRow | None:
    """Return a picture, unless it is to be deleted."""
    rows = await fetch_as(PhotoRow, connection, BY_DIGEST, digest=digest)
    return rows[0] if rows else None


async def served(connection: Connection, digest: str) -> PhotoRow | None:
    """Return a picture that a counted or a held test shows."""
    row = await by_digest(connection, digest)
    return row if await fetch(connection, SHOWN, digest=digest) else None


async def put(connection: Connection, row: PhotoRow) -> None:
    """Add a picture; `unnamed_since` is set unless a test already names it."""
    await _drop(connection, [row.digest])
    named = await fetch(connection, NAMED, digest=row.digest)
    row = replace(row, unnamed_since=None if named else row.received_at)
    await driver.add(connection, photos, values([row]))
    if row.look:
        await driver.add(connection, photo_bands, [(key, row.digest) for key in bands(int(row.look, 16))])


async def looks(connection: Connection, digests: Iterable[str]) -> dict[str, int]:
    """Return the hashes of those of these pictures that are stored and not blank."""
    return {digest: int(look, 16) for digest, look in await fetch(connection, LOOKS, digests=list(digests))}


async def alike(connection: Connection, looked: Mapping[str, int]) -> dict[str, set[str]]:
    """Return, for pictures given by digest and hash, the other stored ones that look like them.

    Candidates are found by shared keys, so the cost does not grow with the number of stored pictures.
    """
    wanted: defaultdict[int, list[str]] = defaultdict(list)
    for digest, look in looked.items():
        for key in reach(look):
            wanted[key].append(digest)
    found: defaultdict[str, set[str]] = defaultdict(set)
    for key, other, look in await fetch(connection, ALIKE, keys=list(wanted)):
        for digest in wanted[key]:
            if digest != other and distance(looked[digest], int(look, 16)) <= FARTHEST:
                found[digest].add(other)
    return dict(found)


async def shown_by(connection: Connection, digests: Iterable[str]) -> list[tuple[str, str]]:
    """Return digest and id of the tests that show one of these pictures and are not duplicates of others."""
    return [(digest, test) for digest, test in await fetch(connection, SHOWN_BY, digests=list(digests))]


async def show(connection: Connection, shown: Collection[tuple[str, str, tuple[str, ...]]]) -> None:
    """Set which pictures tests show: id, region and digests of each test."""
    await execute(connection, HIDE, tests=[test for test, _, _ in shown])
    pairs = [(test, region, digest) for test, region, digests in shown for digest in dict.fromkeys(digests)]
    await driver.add(connection, test_photos, pairs)
    await execute(connection, NAME, digests={digest for _, _, digest in pairs})


async def dismiss(connection: Connection, digests: Iterable[str]) -> int:
    """Mark those of these pictures for deletion that no test shows any more; return how many."""
    return len(await fetch(connection, DISMISS, digests=list(digests)))


async def dismiss_unnamed(connection: Connection, before: datetime) -> int:
    """Mark pictures for deletion that arrived before a moment and are not named; return how many."""
    return len(await fetch(connection, DISMISS_UNNAMED, before=before))


async def kept(connection: Connection) -> list[str]:
    """Return all pictures that are not to be deleted."""
    return [digest for (digest,) in await fetch(connection, KEPT)]


async def leaving(connection: Connection) -> list[str]:
    """Return the pictures whose bytes are to be deleted."""
    return [digest for (digest,) in await fetch(connection, LEAVING)]


async def forget(connection: Connection, digests: Iterable[str]) -> None:
    """Delete the rows of pictures whose bytes have been deleted."""
    await _drop(connection, [digest for (digest,) in await fetch(connection, GOING, digests=list(digests))])


async def _drop(connection: Connection, digests: list[str]) -> None:
    for statement in DROP:
        await execute(connection, statement, digests=digests)
