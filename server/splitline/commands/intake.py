"""`splitline intake`: stores the records of a file as if a phone had sent them."""

import argparse
import os
import secrets
import sys
from collections import Counter
from collections.abc import Sequence
from contextlib import nullcontext
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import islice
from pathlib import Path
from typing import IO

import msgspec
from msgspec import Struct

from splitline.answers import Answer
from splitline.commands import data
from splitline.commands.options import SECRET
from splitline.commands.progress import bar
from splitline.commands.record_file import Item, items
from splitline.commands.writing import written
from splitline.config import Settings
from splitline.errors import Problem, Unusable
from splitline.exchange_table import read_exchange
from splitline.figures.schedule import bring_up
from splitline.identity import Identity, identity_of
from splitline.intake.intake import Intake
from splitline.photos.store import Photos
from splitline.regions import regions
from splitline.store.engine import Store

BATCH = 500


class Outcome(Struct, kw_only=True):
    """The number of records by outcome, and whose they are."""

    contributor: str
    stored: int = 0
    replaced: int = 0
    known: int = 0
    held: int = 0
    refused: int = 0


@dataclass(frozen=True, slots=True)
class _Job:
    file: Path
    size: int
    identity: Identity
    answers: IO[bytes] | None


def run(chosen: argparse.Namespace) -> int:
    """Take in the file; return 2 if a row was refused. Raises `Unusable` if the file or the secret cannot be read."""
    what = data.where(chosen)
    size = _size(chosen.file)
    identity = _identity(chosen.secret_file, what)
    with written(chosen.answers) if chosen.answers else nullcontext() as answers:
        job = _Job(chosen.file, size, identity, answers)
        outcome = data.in_store(what, lambda store: _take(store, what, job))
    print(msgspec.json.encode(outcome).decode() if chosen.json else _as_text(outcome))
    return 2 if outcome.refused else 0


async def _take(store: Store, what: Settings, job: _Job) -> Outcome:
    """Send the file in batches; each is a transaction, and sending again is harmless."""
    intake = Intake(store, regions(), Photos(what.photos, store), exchange=read_exchange(what.exchange))
    outcome = Outcome(contributor=job.identity.id)
    rows = items(job.file)
    with bar(job.file.name, job.size) as done:
        while batch := list(islice(rows, BATCH)):
            answers = await intake.receive(job.identity, [item.text for item in batch], datetime.now(UTC))
            _count(outcome, answers)
            _tell(batch, answers, job.answers)
            done(batch[-1].upto)
    with bar("figures", None):
        await bring_up(store, lambda: datetime.now(UTC))
    return outcome


def _count(outcome: Outcome, answers: Sequence[Answer]) -> None:
    for status, count in Counter(answer.status for answer in answers).items():
        setattr(outcome, status, getattr(outcome, status) + count)


def _tell(batch: Sequence[Item], answers: Sequence[Answer], file: IO[bytes] | None) -> None:
    """Write every answer with its row, and print the rows that were not simply stored."""
    for item, answer in zip(batch, answers, strict=True):
        if file:
            file.write(msgspec.json.encode({"row": item.row, **msgspec.to_builtins(answer)}) + b"\n")
        if answer.status in ("held", "refused"):
            sentences = " ".join(problem.sentence for problem in answer.problems)
            print(f"row {item.row}: {answer.status}: {sentences}", file=sys.stderr)


def _identity(path: Path | None, what: Settings) -> Identity:
    """The contributor: the holder of the secret in a file, which is created if none was named."""
    if path is None:
        path = what.data / SECRET
        if not path.exists():
            _make_secret(path)
    try:
        identity = identity_of(path.read_text(encoding="ascii").strip())
    except (OSError, UnicodeDecodeError) as fault:
        reason = fault.strerror if isinstance(fault, OSError) and fault.strerror else "no text"
        raise Unusable([Problem("secret_unreadable", str(path), reason)]) from fault
    if identity is None:
        raise Unusable([Problem("secret_unreadable", str(path), "another form")])
    return identity


def _make_secret(path: Path) -> None:
    """Readable only by its owner: the secret is all it takes to change these records."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as file:
            file.write(secrets.token_hex(32) + "\n")
    except OSError as fault:
        raise Unusable([Problem("file_unwritable", str(path), fault.strerror or "")]) from fault


def _size(path: Path) -> int:
    try:
        return path.stat().st_size
    except OSError as fault:
        raise Unusable([Problem("records_unreadable", str(path), fault.strerror or "")]) from fault


def _as_text(outcome: Outcome) -> str:
    counts = ", ".join(f"{getattr(outcome, name)} {name}" for name in Outcome.__struct_fields__[1:])
    return f"{counts}, as contributor {outcome.contributor}."
