"""Checks each arriving record on its own, without looking at stored records.

This happens before the write transaction, so that no other writer waits for it. Tests are computed together, as arrays.
"""

from collections.abc import Iterator, Sequence
from datetime import datetime
from itertools import repeat
from typing import Protocol

from msgspec import Raw, Struct, json
from msgspec.structs import replace

from splitline.checking import clock, duplicates, form, photo, physics, text
from splitline.chemistry.budget import Figures
from splitline.chemistry.exchange import BUILT_IN, Exchange
from splitline.errors import Problem
from splitline.identity import Identity
from splitline.records import Source, Test
from splitline.regions import Located

Computed = tuple[Figures | list[Problem], Problem | None]
"""The figures computed for a test, or why there are none; and a problem if its device computed another content."""


class Outlines(Protocol):
    """Maps coordinates to regions."""

    def at(self, latitude: float, longitude: float) -> Located:
        """Return the region, and whether it is certain."""


class CheckedRecord(Struct, frozen=True):
    """One item of a batch.

    form: its id, and the record if it is well-formed. contributor: the sender's id; secret_digest: of their secret.
    problems: reasons to refuse it. flags: remarks that are no reason to refuse it.
    region: of a source; figures: of a test.
    clock_skew: how far the device's clock was behind the server's at sending, s, if the device sent its time.
    text: the record as stored. twin_key: of a test, see `duplicates.twin_key`.
    """

    form: form.Form
    contributor: str
    secret_digest: str
    received_at: datetime
    problems: tuple[Problem, ...] = ()
    flags: tuple[Problem, ...] = ()
    region: str | None = None
    figures: Figures | None = None
    clock_skew: float | None = None
    text: str = ""
    twin_key: str = ""


class Batch(Struct, frozen=True):
    """Records sent together by one contributor, as JSON texts. sent_at: by the device's clock."""

    identity: Identity
    items: Sequence[bytes | Raw]
    received_at: datetime
    sent_at: datetime | None = None


def checked_records(
    batches: Sequence[Batch], outlines: Outlines, exchange: Exchange = BUILT_IN
) -> list[list[CheckedRecord]]:
    """Parse and check the records of some batches, without clock or storage.

    exchange: the table that contents are computed with. Devices have the built-in one; with another, differences are
    normal and not flagged.
    """
    read = [[form.read(item) for item in batch.items] for batch in batches]
    tests = [one.record for batch in read for one in batch if isinstance(one.record, Test)]
    figures = physics.figures(tests, exchange)
    differs = map(physics.content_differs, tests, figures) if exchange is BUILT_IN else repeat(None)
    computed = zip(figures, differs, strict=False)
    return [_checked(batch, forms, computed, outlines) for batch, forms in zip(batches, read, strict=True)]


def _checked(
    batch: Batch, read: Sequence[form.Form], computed: Iterator[Computed], outlines: Outlines
) -> list[CheckedRecord]:
    skew = clock.skew(batch.sent_at, batch.received_at)
    off = clock.clock_off(skew)
    checked = []
    for one in read:
        plain = CheckedRecord(one, batch.identity.id, batch.identity.secret_digest, batch.received_at, clock_skew=skew)
        found = _test(plain, one.record, *next(computed)) if isinstance(one.record, Test) else _other(plain, outlines)
        checked.append(replace(found, flags=(*found.flags, off)) if off else found)
    return checked


def _other(plain: CheckedRecord, outlines: Outlines) -> CheckedRecord:
    record = plain.form.record
    if record is None:
        return plain
    problems = (*text.problems(record), *clock.problems(record, plain.received_at))
    checked = replace(plain, problems=problems)
    return _source(checked, record, outlines) if isinstance(record, Source) else checked


def _test(
    plain: CheckedRecord, test: Test, computed: Figures | list[Problem], differs: Problem | None
) -> CheckedRecord:
    found = (*text.problems(test), *clock.problems(test, plain.received_at), *photo.marks_photo(test))
    most = physics.set_aside_most(test)
    found = (*found, most) if most else found
    if isinstance(computed, list):
        return replace(plain, problems=(*found, *computed))
    flags = (*([differs] if differs else []), *photo.marks_differ(test))
    key = duplicates.twin_key(test)
    return replace(plain, problems=found, flags=flags, figures=computed, text=_as_text(test), twin_key=key)


def _source(checked: CheckedRecord, source: Source, outlines: Outlines) -> CheckedRecord:
    """The region comes from the outlines; near a border, the one the contributor chose counts."""
    located = outlines.at(source.latitude, source.longitude)
    if located.region is None:
        where = f"{source.latitude:.4f}, {source.longitude:.4f}"
        return replace(checked, problems=(*checked.problems, Problem("no_region", "latitude", where)))
    said, region = source.subdivision, located.region.code
    flags: tuple[Problem, ...] = ()
    if said is None:
        flags = () if located.certain else (_uncertain(region, located),)
    elif located.accepts(said):
        region = said
    else:
        flags = (Problem("subdivision_elsewhere", "subdivision", said, region),)
    return replace(checked, flags=flags, region=region, text=_as_text(source))


def _as_text(record: Source | Test) -> str:
    """A record as JSON text, normalised: however it was sent, it is stored in one form."""
    return json.encode(record).decode()


def _uncertain(region: str, located: Located) -> Problem:
    candidates = ", ".join(other.code for other in located.alternatives)
    return Problem("region_uncertain", "subdivision", region, candidates)
