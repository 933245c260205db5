"""One record as it arrived, checked on its own, before anything stored is looked at.

This is done before the turn to write, so that it holds up no other writer; tests are computed together, on arrays.
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
"""What the physics make of a test, and whether its device made something else of it."""


class Outlines(Protocol):
    """What knows the region of a coordinate."""

    def at(self, latitude: float, longitude: float) -> Located:
        """Return the region and whether that is certain."""


class CheckedRecord(Struct, frozen=True):
    """One item of a batch.

    form: who it says it is, and the record if its form is right. contributor: whose it is; secret_digest: by what they
    are known. problems: why it cannot be taken as new.
    flags: what is worth a remark but no reason to refuse. region: of a source; figures: of a test.
    clock_skew: how far the device's clock was behind the server's when it was sent, s, if the device said its time.
    text: the record as it is kept. twin_key: of a test, see `duplicates.twin_key`.
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
    """What somebody sends at once: the JSON texts of some records. sent_at: by the device's clock."""

    identity: Identity
    items: Sequence[bytes | Raw]
    received_at: datetime
    sent_at: datetime | None = None


def checked_records(
    batches: Sequence[Batch], outlines: Outlines, exchange: Exchange = BUILT_IN
) -> list[list[CheckedRecord]]:
    """Read and check the records of some batches; no clock, no storage.

    exchange: what contents are computed with. Devices have the built-in table, so with another they may well differ.
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
    return replace(plain, problems=found, flags=flags, figures=computed, text=_kept(test), twin_key=key)


def _source(checked: CheckedRecord, source: Source, outlines: Outlines) -> CheckedRecord:
    """The region is the outline's, or what the person says who stands there, where that may be."""
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
    return replace(checked, flags=flags, region=region, text=_kept(source))


def _kept(record: Source | Test) -> str:
    """A record as text: whatever way it was written, it is kept in one."""
    return json.encode(record).decode()


def _uncertain(region: str, located: Located) -> Problem:
    candidates = ", ".join(other.code for other in located.alternatives)
    return Problem("region_uncertain", "subdivision", region, candidates)
