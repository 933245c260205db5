"""A source belongs to those who tested there: once others have, its contributor alone can only correct it a little.

A change beyond that waits for a moderator, and the source stays as it was. What waits is kept in the source's own row,
as the row that it would become. Small moves are measured from where the source stood when others began to test (or
where a moderator last confirmed it), so that many of them do not add up.
"""

from msgspec import json
from msgspec.structs import replace

from splitline.position import Position, distance_km
from splitline.records import Source
from splitline.store.rows import CHANGE_REFUSED, CHANGE_WAITS, OUT, Row, SourceRow

NEAR_KM = 0.15
"""As `checking.places.SAME_KM`: what is that close may be the same place."""


def goes_too_far(row: SourceRow, stored: SourceRow) -> bool:
    """Whether a revision makes another place of a source: another name, pump or region, or too far from its own."""
    new, old = (json.decode(one.record or "", type=Source) for one in (row, stored))
    if (new.name, new.pump, row.region) != (old.name, old.pump, stored.region):
        return True
    return distance_km(Position(new.latitude, new.longitude), _settled(stored, old)) > NEAR_KM


def settled(row: SourceRow, stored: SourceRow) -> SourceRow:
    """Return a small change of a source that others tested, with the place that it is measured from."""
    at = _settled(stored, json.decode(stored.record or "", type=Source))
    return replace(row, settled_latitude=at.latitude, settled_longitude=at.longitude)


def with_waiting(stored: SourceRow, row: SourceRow) -> SourceRow:
    """Return a source as it was, with a change that waits."""
    return replace(stored, proposed=json.encode(row).decode(), flags=(CHANGE_WAITS, *_other_flags(stored)))


def with_refused(stored: SourceRow) -> SourceRow:
    """Return a source whose change was refused; it is kept, so that sending it again changes nothing."""
    return replace(stored, flags=(CHANGE_REFUSED, *_other_flags(stored)))


def changed(stored: SourceRow) -> SourceRow:
    """Return what a source becomes when the change that waits is confirmed; it is out of the lists if it was."""
    row = newest(stored)
    assert isinstance(row, SourceRow), "a source's change is one of a source"
    out = [flag for flag in stored.flags if flag in OUT]
    remarks = [flag for flag in row.flags if flag not in OUT]
    return replace(row, state=stored.state, into=stored.into, flags=(*out, *remarks))


def is_waiting(row: Row) -> bool:
    """Whether a change of this waits for a moderator."""
    return CHANGE_WAITS in row.flags


def newest(stored: Row) -> Row:
    """Return what was sent last under an id: the row itself, or its change that waits or was refused."""
    waiting = stored.proposed if isinstance(stored, SourceRow) else None
    return json.decode(waiting, type=SourceRow) if waiting else stored


def _settled(stored: SourceRow, source: Source) -> Position:
    if stored.settled_latitude is None or stored.settled_longitude is None:
        return Position(source.latitude, source.longitude)
    return Position(stored.settled_latitude, stored.settled_longitude)


def _other_flags(row: SourceRow) -> tuple[str, ...]:
    return tuple(flag for flag in row.flags if flag not in (CHANGE_WAITS, CHANGE_REFUSED))
