"""Times are stored in SQLite as SQLAlchemy wrote them, so that rows of earlier versions compare with new ones."""

from datetime import UTC, datetime, timedelta, timezone

import pytest
from sqlalchemy import DateTime
from sqlalchemy.dialects import sqlite

from splitline.store.types import Instant

MOMENTS = [
    datetime(2026, 1, 31, 6, 0, tzinfo=UTC),
    datetime(1999, 12, 31, 23, 59, 59, 999999, tzinfo=timezone(timedelta(hours=-9, minutes=-30))),
    datetime(2026, 3, 1, 0, 30, 0, 1, tzinfo=timezone(timedelta(hours=2))),
]


@pytest.mark.parametrize("moment", MOMENTS, ids=str)
def test_a_moment_is_stored_in_sqlalchemys_text_format(moment: datetime) -> None:
    dialect = sqlite.dialect()
    usual = DateTime().dialect_impl(dialect).bind_processor(dialect)
    ours = Instant().dialect_impl(dialect).bind_processor(dialect)
    assert usual
    assert ours
    assert ours(moment) == usual(moment.astimezone(UTC))
    back = Instant().dialect_impl(dialect).result_processor(dialect, None)
    assert back
    assert back(ours(moment)) == moment
    assert ours(None) is None
