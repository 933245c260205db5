"""A source belongs to those who tested there: once others have, its contributor alone can only correct it a little.

A larger change waits for a moderator, and the source stays as it was. The waiting change is stored in the source's own
row, as the row it would become. Small moves are measured from the source's position when others began to test there
(or when a moderator last confirmed it), so that many of them cannot add up.
"""

from msgspec import json
from msgspec.structs import replace

from splitline.position import Position, distance_km
from splitline.records import Source
from splitline.store.rows import CHANGE_REFUSED, CHANGE_WAITS, OUT, Row, SourceRow

NEAR_KM = 0.15
"""Same as `checking.places.SAME_KM`: sources this close may be the same place."""


def goes_too_far(row: SourceRow, stored: SourceRow) -> bool:
    """Whether a revision turns a source into another place: another name, pump or region, or too far a move."""
    new, old = (json.decode(one.record or "", type=Source) for one in (row, stored))
    if (new.name, new.pump, row.region) != (old.name, old.pump, stored.region):
        return True
    return distance_km(Position(new.latitude, new.longitude), _settled(stored, old)) > NEAR_KM


def settled(row: SourceRow, stored: SourceRow) -> SourceRow:
    """Return a small change of a source that others tested, with the position it is measured from."""
    at = _settled(stored, json.decode(stored.record or "", type=Source))
    return replace(row, settled_latitude=at.latitude, settled_longitude=at.longitude)


def with_waiting(stored: SourceRow, row: SourceRow) -> SourceRow:
    """Return a source unchanged, with a waiting change."""
    return replace(stored, proposed=json.encode(row).decode(), flags=(CHANGE_WAITS, *_other_flags(stored)))


def with_refused(stored: SourceRow) -> SourceRow:
    """Return a source whose change was refused; the change is stored, so that resending it changes nothing."""
    return replace(stored, flags=(CHANGE_REFUSED, *_other_flags(stored)))


def changed(stored: SourceRow) -> SourceRow:
    """Return a source with its waiting change applied; a source that was withheld or merged remains so."""
    row = newest(stored)
    assert isinstance(row, SourceRow), "a source's change is one of a source"
    out = [flag for flag in stored.flags if flag in OUT]
    remarks = [flag for flag in row.flags if flag not in OUT]
    return replace(row, state=stored.state, into=stored.into, flags=(*out, *remarks))


def is_waiting(row: Row) -> bool:
    """Whether a change of this record waits for a moderator."""
    return CHANGE_WAITS in row.flags


def newest(stored: Row) -> Row:
    """Return the last revision sent under an id: the row itself, or its waiting or refused change."""
    waiting = stored.proposed if isinstance(stored, SourceRow) else None
    return json.decode(waiting, type=SourceRow) if waiting else stored


def _settled(stored: SourceRow, source: Source) -> Position:
    if stored.settled_latitude is None or stored.settled_longitude is None:
        return Position(source.latitude, source.longitude)
    return Position(stored.settled_latitude, stored.settled_longitude)


def _other_flags(row: SourceRow) -> tuple[str, ...]:
    return tuple(flag for flag in row.flags if flag not in (CHANGE_WAITS, CHANGE_REFUSED))
