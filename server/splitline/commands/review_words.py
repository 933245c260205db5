"""The text output of `splitline review`."""

from collections.abc import Iterable
from typing import TypeVar

from msgspec import Struct

from splitline.moderation.contributors import PAGE
from splitline.moderation.oddities import Oddity
from splitline.moderation.profile import Place, Profile
from splitline.moderation.queue import Spot, Waiting, WaitingChange, WaitingSource, WaitingTest, WithheldContributor

T = TypeVar("T")


class Decided(Struct, frozen=True, kw_only=True):
    """The outcome for a record, a source's change, or all of a contributor's records (records: how many)."""

    id: str
    kind: str
    revision: int | None = None
    sequence: int | None = None
    state: str
    into: str | None = None
    records: int | None = None


class Odd(Struct, frozen=True, kw_only=True):
    """What looks odd."""

    oddities: list[Oddity]


def decided(one: Decided) -> str:
    """Return the text for a decision."""
    if one.kind == "change" and one.state == "confirmed":
        return f"Source {one.id} now has its contributor's change (revision {one.revision})."
    if one.kind == "change":
        return f"The change of source {one.id} was refused; the source stays as it was (revision {one.revision})."
    if one.kind != "contributor":
        return f"{one.kind} {one.id} is now {f'merged into {one.into}' if one.into else one.state}."
    if one.state == "released":
        return (
            f"{one.records:,} records of {one.id} are back to what they were. "
            "Those held or withheld for another reason still are."
        )
    return (
        f"{one.records:,} records of {one.id} are now withheld, in batches of {PAGE} with pauses for others to send. "
        f"Their future records will be withheld too.\nTo undo it: splitline review release {one.id}"
    )


def waiting(found: Waiting) -> str:
    """Return the text for what is waiting."""
    lines = [
        *map(_test, found.tests),
        *map(_source, found.sources),
        *map(_change, found.changes),
        *map(_set_aside, found.contributors),
    ]
    return "\n".join(lines) or "Nothing waits."


def odd(found: Odd, most: int) -> str:
    """Return the text for what looks odd, up to `most` of each kind; 0: all."""
    lines: list[str] = []
    for kind in dict.fromkeys(one.kind for one in found.oddities):
        its = [one for one in found.oddities if one.kind == kind]
        shown = _first(its, most)
        lines += [f"{kind}: {one.sentence}\n  more: {one.see}" for one in shown]
        lines += _rest(len(its) - len(shown))
    return "\n".join(lines) or "Nothing looks odd."


def contributor(found: Profile, most: int) -> str:
    """Return the text about a contributor, up to `most` lines of each kind; 0: all."""
    photos = [f"{one.path}, {one.received_at:%Y-%m-%d}, shown by {one.tests} tests" for one in found.photos]
    odd_lines = [f"{one.kind}: {one.sentence}" for one in found.oddities]
    return "\n".join(
        [
            *_person(found),
            *_listed("sources", [_place(one) for one in found.sources], most),
            *_listed("odd", odd_lines, most),
            *_listed("photos", photos, most),
        ]
    )


def _person(found: Profile) -> list[str]:
    tests, whole = found.tests, ", withheld as a whole" if found.withheld else ""
    days = "1 day" if found.days_heard == 1 else f"{found.days_heard} days"
    lines = [
        f"contributor {found.contributor}{whole}",
        f"first seen on {found.first_seen_at:%Y-%m-%d}; records received on {days}",
    ]
    for one in found.decisions:
        why = f": {one.why}" if one.why else ""
        lines.append(f"  {one.action} by {one.decided_by} on {one.decided_at:%Y-%m-%d}{why}")
    counts = (
        f"{tests.counted:,} counted, {tests.held:,} held, {tests.withheld:,} withheld, {tests.retracted:,} withdrawn"
    )
    lines.append(f"tests: {counts}")
    if tests.first_sampled_at and tests.last_sampled_at:
        lines.append(f"  sampled {tests.first_sampled_at:%Y-%m-%d} to {tests.last_sampled_at:%Y-%m-%d}")
    weights = ", ".join(f"{one.region} {one.weight:.2f}" for one in found.weights)
    return [*lines, f"weight (0..1, no uncertainty given): {weights or 'nowhere yet'}"]


def _listed(title: str, lines: list[str], most: int) -> list[str]:
    shown = _first(lines, most)
    return [f"{title}: {len(lines) or 'none'}", *(f"  {line}" for line in shown), *_rest(len(lines) - len(shown))]


def _first(found: list[T], most: int) -> list[T]:
    return found[:most] if most > 0 else found


def _rest(count: int) -> Iterable[str]:
    return [f"  {count:,} more (--most 0 shows all)"] if count else []


def _place(one: Place) -> str:
    made = ", added by them" if one.entered else ""
    others = "others tested there" if one.others_tested else "nobody else tested there"
    return f"{one.id}, {one.state}: {one.name} ({one.region}){made}; {one.tests:,} tests by them, {others}"


def _test(test: WaitingTest) -> str:
    head = (
        f"test {test.id}, {test.state}: {test.content:.1f} % (V/V) ± {test.expanded_uncertainty:.1f} at "
        f"{test.source_name} ({test.region}), {test.sampled_at:%Y-%m-%d %H:%M} UTC, by {test.contributor}"
    )
    return "\n".join([head, *(f"  {reason.code}: {reason.sentence}" for reason in test.reasons)])


def _source(source: WaitingSource) -> str:
    head = f"source {source.id}, {source.state}: {source.name} ({source.region}), by {source.contributor}"
    return f"{head}\n  may be {source.similar_to} ({source.similar_name})" if source.similar_to else head


def _change(change: WaitingChange) -> str:
    return (
        f"change of source {change.id}, by {change.contributor} on {change.received_at:%Y-%m-%d}: others tested there\n"
        f"  is:       {_spot(change.now)}\n"
        f"  would be: {_spot(change.then)}, {change.distance:.2f} km away\n"
        f"  splitline review release {change.id} accepts it, withhold refuses it"
    )


def _spot(spot: Spot) -> str:
    pump = f", pump {spot.pump}" if spot.pump else ""
    return f"{spot.name}{pump} ({spot.region}), {spot.latitude:.5f} {spot.longitude:.5f}"


def _set_aside(one: WithheldContributor) -> str:
    head = f"contributor {one.contributor}, withheld as a whole by {one.decided_by} on {one.decided_at:%Y-%m-%d}: "
    why = f"\n  {one.why}" if one.why else ""
    return f"{head}{one.tests:,} tests{why}\n  more: splitline review contributor {one.contributor}"
