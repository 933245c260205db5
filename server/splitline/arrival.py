"""One record as it arrived, checked on its own, before anything stored is looked at.

A batch does this before its turn to write, so that it holds up no other writer.
"""

from collections.abc import Sequence
from datetime import datetime
from typing import Protocol

from msgspec import Raw, Struct, json
from msgspec.structs import replace

from splitline.checking import clock, form, photo, physics, text, twins
from splitline.chemistry.budget import Figures
from splitline.errors import Problem
from splitline.records import Source, Test
from splitline.regions import Located


class Outlines(Protocol):
    """What knows the region of a coordinate."""

    def at(self, latitude: float, longitude: float) -> Located:
        """Return the region and whether that is certain."""


class Arrival(Struct, frozen=True):
    """One item of a batch.

    form: who it says it is, and the record if its form is right. problems: why it cannot be taken as new.
    flags: what is worth a remark but no reason to refuse. region: of a source; figures: of a test.
    clock_skew: how far the device's clock was behind the server's when it was sent, s, if the device said its time.
    text: the record as it is kept. twin_key: of a test, see `twins.twin_key`.
    """

    form: form.Form
    problems: tuple[Problem, ...] = ()
    flags: tuple[Problem, ...] = ()
    region: str | None = None
    figures: Figures | None = None
    clock_skew: float | None = None
    text: str = ""
    twin_key: str = ""


def arrivals(
    items: Sequence[bytes | Raw], outlines: Outlines, received_at: datetime, sent_at: datetime | None = None
) -> list[Arrival]:
    """Read and check the items of a batch; no clock, no storage. Tests are computed together, on arrays."""
    read = [form.read(item) for item in items]
    tests = [one.record for one in read if isinstance(one.record, Test)]
    computed = iter(physics.figures(tests))
    skew = clock.skew(sent_at, received_at)
    off = clock.clock_off(skew)
    checked = [
        _test(one, one.record, next(computed), received_at)
        if isinstance(one.record, Test)
        else _other(one, outlines, received_at)
        for one in read
    ]
    if skew is None:
        return checked
    remarks = (off,) if off else ()
    return [replace(one, clock_skew=skew, flags=(*one.flags, *remarks)) for one in checked]


def _other(read: form.Form, outlines: Outlines, received_at: datetime) -> Arrival:
    record = read.record
    if record is None:
        return Arrival(read)
    found = [*text.problems(record), *clock.problems(record, received_at)]
    return _source(read, record, found, outlines) if isinstance(record, Source) else Arrival(read, tuple(found))


def _test(read: form.Form, test: Test, computed: Figures | list[Problem], received_at: datetime) -> Arrival:
    found = [*text.problems(test), *clock.problems(test, received_at), *photo.marks_photo(test)]
    if isinstance(computed, list):
        return Arrival(read, (*found, *computed))
    differs = physics.content_differs(test, computed)
    flags = (*([differs] if differs else []), *photo.marks_differ(test))
    key = twins.twin_key(test)
    return Arrival(read, tuple(found), flags, figures=computed, text=_kept(test), twin_key=key)


def _source(read: form.Form, source: Source, found: list[Problem], outlines: Outlines) -> Arrival:
    """The region is the outline's, or what the person says who stands there, where that may be."""
    located = outlines.at(source.latitude, source.longitude)
    if located.region is None:
        where = f"{source.latitude:.4f}, {source.longitude:.4f}"
        return Arrival(read, (*found, Problem("no_region", "latitude", where)))
    said, region = source.subdivision, located.region.code
    if said is None:
        flags = () if located.certain else (_uncertain(region, located),)
        return Arrival(read, tuple(found), flags, region, text=_kept(source))
    if located.accepts(said):
        return Arrival(read, tuple(found), (), said, text=_kept(source))
    elsewhere = Problem("subdivision_elsewhere", "subdivision", said, region)
    return Arrival(read, tuple(found), (elsewhere,), region, text=_kept(source))


def _kept(record: Source | Test) -> str:
    """A record as text: whatever way it was written, it is kept in one."""
    return json.encode(record).decode()


def _uncertain(region: str, located: Located) -> Problem:
    candidates = ", ".join(other.code for other in located.alternatives)
    return Problem("region_uncertain", "subdivision", region, candidates)
