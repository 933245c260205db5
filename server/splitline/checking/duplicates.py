"""Finds duplicate tests: a reading entered again counts once, the first time."""

from collections.abc import Iterable, Mapping
from hashlib import sha256
from typing import Any

from msgspec import defstruct, json
from msgspec.structs import astuple

from splitline.errors import Problem
from splitline.records import Run, Test, Tube

HALF_HOUR = 1800
# All fields, in order, with or without a value: the keys of duplicates came before records left any out.
WHOLE_RUN, WHOLE_TUBE = (defstruct(kind.__name__, kind.__struct_fields__) for kind in (Run, Tube))


def twin_key(test: Test) -> str:
    """Return the key that two entries of one reading share, from source, half hour and runs; 32 hex digits."""
    half_hour = int(test.sampled_at.timestamp() // HALF_HOUR)
    return sha256(json.encode((test.source, half_hour, list(map(_whole, test.runs))))).hexdigest()[:32]


def _whole(run: Run) -> object:
    whole: Any = WHOLE_RUN(*astuple(run))
    if run.tube:
        whole.tube = WHOLE_TUBE(*astuple(run.tube))
    return whole


def twin_runs(test: Test, key: str, first: Mapping[str, str]) -> Problem | None:
    """Hold a test with the same source, half hour and runs as another by the same person.

    key: the test's `twin_key`. first: `twin_key` -> id, of this contributor's tests that are no duplicates themselves.
    """
    return Problem("twin_runs", "runs") if first.get(key, test.id) != test.id else None


def twin_photo(test: Test, first: Mapping[str, Iterable[str]]) -> Problem | None:
    """Hold a test that shows a picture of another test. first: photo digest -> ids of tests that are no duplicates."""
    for index, digest in enumerate(test.photos):
        if any(other != test.id for other in first.get(digest, ())):
            return Problem("twin_photo", f"photos[{index}]", digest)
    return None


def twin_picture(test: Test, alike: Mapping[str, Iterable[str]], first: Mapping[str, Iterable[str]]) -> Problem | None:
    """Hold a test with a picture that looks like one of another test, by whichever contributor.

    alike: photo digest -> digests of the pictures that look like it. first: as for `twin_photo`.
    """
    for index, digest in enumerate(test.photos):
        if any(other != test.id for near in alike.get(digest, ()) for other in first.get(near, ())):
            return Problem("twin_picture", f"photos[{index}]", digest)
    return None
