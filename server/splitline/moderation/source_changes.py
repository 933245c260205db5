"""Changes of sources that wait because others tested there: a moderator accepts or refuses them."""

from splitline.errors import Problem, Unusable
from splitline.intake import ownership
from splitline.intake.reevaluate import restate
from splitline.moderation.decisions import Moderator, note
from splitline.store import sources
from splitline.store.engine import Connection, Store
from splitline.store.rows import SourceRow


async def waits(store: Store, record: str) -> bool:
    """Return whether this is a source with a waiting change."""
    async with store.read() as connection:
        row = (await sources.by_ids(connection, [record])).get(record)
    return row is not None and ownership.is_waiting(row)


async def confirm(store: Store, source: str, by: Moderator) -> SourceRow:
    """Apply the contributor's change to a source; its tests follow. Raises `Unusable`."""
    # Imported here because it loads the outlines of all regions.
    from splitline.intake.intake import put
    from splitline.intake.working_set import WorkingSet

    async with store.write() as connection:
        old = await _waiting(connection, source)
        work = WorkingSet()
        work.before[source] = work.now[source] = old
        work.put(ownership.changed(old))
        await put(connection, work, by.now)
        written = (await sources.by_ids(connection, [source]))[source]
        await note(connection, written.sequence, "confirm", source, written.revision, by)
    return written


async def refuse(store: Store, source: str, by: Moderator) -> SourceRow:
    """Refuse a source's change, and tell its contributor's phones. Raises `Unusable`."""
    async with store.write() as connection:
        old = await _waiting(connection, source)
        [written] = await restate(connection, [ownership.with_refused(old)], by.now)
        assert isinstance(written, SourceRow), "a source remains a source"
        await note(connection, written.sequence, "refuse", source, ownership.newest(old).revision, by)
    return written


async def _waiting(connection: Connection, source: str) -> SourceRow:
    row = (await sources.by_ids(connection, [source])).get(source)
    if row is None or not ownership.is_waiting(row):
        raise Unusable([Problem("not_held", "id", source, row.state if row else "unknown")])
    return row
