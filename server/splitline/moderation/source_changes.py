"""A change of a source that waits because others tested there: confirmed or refused by a moderator."""

from splitline.errors import Problem, Unusable
from splitline.intake import belonging
from splitline.intake.reevaluate import restate
from splitline.moderation.decisions import Moderator, note
from splitline.store import sources
from splitline.store.engine import Connection, Store
from splitline.store.rows import SourceRow


async def waits(store: Store, record: str) -> bool:
    """Return whether this is a source with a change that waits."""
    async with store.read() as connection:
        row = (await sources.by_ids(connection, [record])).get(record)
    return row is not None and belonging.is_waiting(row)


async def confirm(store: Store, source: str, by: Moderator) -> SourceRow:
    """Let a source become what its contributor made of it; its tests go with it. Raises `Unusable`."""
    # Loaded where they are needed: the outlines of the regions come with them.
    from splitline.intake.intake import put
    from splitline.intake.working_set import WorkingSet

    async with store.write() as connection:
        old = await _waiting(connection, source)
        work = WorkingSet()
        work.before[source] = work.now[source] = old
        work.put(belonging.changed(old))
        await put(connection, work, by.now)
        written = (await sources.by_ids(connection, [source]))[source]
        await note(connection, written.sequence, "confirm", source, written.revision, by)
    return written


async def refuse(store: Store, source: str, by: Moderator) -> SourceRow:
    """Leave a source as it is, and tell its contributor's phones. Raises `Unusable`."""
    async with store.write() as connection:
        old = await _waiting(connection, source)
        [written] = await restate(connection, [belonging.with_refused(old)], by.now)
        assert isinstance(written, SourceRow), "a source stays one"
        await note(connection, written.sequence, "refuse", source, belonging.newest(old).revision, by)
    return written


async def _waiting(connection: Connection, source: str) -> SourceRow:
    row = (await sources.by_ids(connection, [source])).get(source)
    if row is None or not belonging.is_waiting(row):
        raise Unusable([Problem("not_held", "id", source, row.state if row else "unknown")])
    return row
