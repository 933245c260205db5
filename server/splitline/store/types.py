"""Column types that the databases lack: moments in UTC and lists of codes."""

from collections.abc import Callable, Iterable
from datetime import UTC, datetime
from typing import Any

from msgspec import json
from sqlalchemy import DateTime, Text, TypeDecorator
from sqlalchemy.engine import Dialect


class Instant(TypeDecorator[datetime]):
    """A moment in UTC; SQLite stores no offset, so it is added on reading."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        return value.astimezone(UTC) if value else None

    def bind_processor(self, dialect: Dialect) -> Callable[[Any], Any] | None:
        """On SQLite, the same text as SQLAlchemy's own, in a third of the time."""
        return _as_text if dialect.name == "sqlite" else super().bind_processor(dialect)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        return value.replace(tzinfo=UTC) if value and value.tzinfo is None else value


def _as_text(value: datetime | None) -> str | None:
    """A moment in UTC without offset, such as 2026-01-31 06:00:00.000000; built from its JSON form, which is faster."""
    if value is None:
        return None
    moment = json.encode(value if value.tzinfo is UTC else value.astimezone(UTC)).decode()
    day, time, fraction = moment[1:11], moment[12:20], moment[20:-2]
    return f"{day} {time}{fraction or '.000000'}"


class Codes(TypeDecorator[tuple[str, ...]]):
    """Machine codes in one text, separated by spaces."""

    impl = Text
    cache_ok = True

    def process_bind_param(self, value: Iterable[str] | None, dialect: Dialect) -> str:
        return " ".join(value or ())

    def process_result_value(self, value: str | None, dialect: Dialect) -> tuple[str, ...]:
        return tuple((value or "").split())
