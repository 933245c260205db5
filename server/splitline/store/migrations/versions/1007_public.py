"""The public text of each record, stored beside it: with days, and names that differ by region and year."""

import hmac
from collections.abc import Collection, Mapping
from datetime import UTC, date, datetime
from json import dumps, loads
from secrets import token_hex
from typing import Any
from uuid import UUID

import sqlalchemy as sa
from alembic import op

from splitline.store.types import Instant

revision = "1007"
down_revision = "1006"
branch_labels = None
depends_on = None

PAGE = 1000
FIXED, VERSION_7 = 0xF << 76 | 0b11 << 62, 0x7 << 76 | 0b10 << 62
FIRST_DAY = date(1970, 1, 1).toordinal()
COUNT = sa.text("UPDATE sequence SET figures = figures + 1")
# Everything computed from times goes stale, under the old and the new days.
STALE = sa.text(
    "INSERT INTO stale_visits (region, source, contributor, day, since, stamp, at) "
    "SELECT region, source, contributor, day, value + 1, -figures, :now FROM sequence, ("
    "SELECT region, source, contributor, day FROM tests WHERE state = 'counted' AND sampled = 'pump' "
    "UNION SELECT region, source, contributor, day FROM visits) AS every "
    "WHERE NOT EXISTS (SELECT 1 FROM stale_visits AS known WHERE known.region = every.region "
    "AND known.source = every.source AND known.contributor = every.contributor AND known.day = every.day)"
).bindparams(sa.bindparam("now", type_=Instant()))


def upgrade() -> None:
    """Write the public texts, set times to noon, and set a new epoch, so that phones discard what they pulled."""
    for table in ("sources", "tests"):
        op.execute(f"ALTER TABLE {table} RENAME COLUMN envelope TO public")
    connection = op.get_bind()
    digests = connection.execute(sa.text("SELECT id, secret_digest FROM contributors")).all()
    keys = {who: bytes.fromhex(digest) for who, digest in digests}
    _publish(connection, keys, "sources", {})
    _publish(connection, keys, "tests", {"sampled_at": Instant(), "month": sa.String(), "day": sa.Integer()})
    connection.execute(COUNT)
    connection.execute(STALE, {"now": datetime.now(UTC)})
    connection.execute(sa.text("UPDATE sequence SET epoch = :name"), {"name": token_hex(8)})


def _publish(connection: sa.Connection, keys: Mapping[str, bytes], of: str, times: Mapping[str, Any]) -> None:
    """Rewrite one table in pages. times: columns to set to the day of the record's sampling."""
    names = ("sequence", "id", "region", "contributor", "state", "public", "record")
    read: list[sa.ColumnClause[Any]] = [sa.column(name) for name in names]
    table = sa.table(of, *read, *(sa.column(one, kind) for one, kind in times.items()))
    rows = sa.select(*read).where(table.c.sequence > sa.bindparam("after")).order_by(table.c.sequence).limit(PAGE)
    news = {one: sa.bindparam(f"new_{one}", type_=table.c[one].type) for one in ("public", *times)}
    key = (table.c.id == sa.bindparam("of"), table.c.region == sa.bindparam("there"))
    write = sa.update(table).where(*key).values(news)
    after = 0
    while page := connection.execute(rows, {"after": after}).all():
        after = page[-1].sequence
        connection.execute(write, [_written(row, keys[row.contributor], times) for row in page])


def _written(row: Any, key: bytes, times: Collection[str]) -> dict[str, Any]:
    """The new values of a row; days are None for sources and retracted records."""
    record = loads(row.record) if row.record else None
    change = loads(f"{row.public}null}}")
    change |= {"contributor": None, "received_at": _noon(change["received_at"])}
    if record and row.state == "counted":
        where = f"{row.region} {(record.get('sampled_at') or record['recorded_at'])[:4]}"
        change |= {"contributor": _keyed(key, where)[:8].hex(), "record": _public(record, key, where)}
    sampled = record["sampled_at"] if record and times else None
    days = {
        "new_sampled_at": sampled and datetime.fromisoformat(_noon(sampled)),
        "new_month": sampled and sampled[:7],
        "new_day": sampled and date.fromisoformat(sampled[:10]).toordinal() - FIRST_DAY,
    }
    text = dumps(change, ensure_ascii=False, separators=(",", ":"))
    return {"of": row.id, "there": row.region, "new_public": text} | (days if times else {})


def _public(record: dict[str, Any], key: bytes, where: str) -> dict[str, Any]:
    """The public form of a record. where: its region and year."""
    public = {name: _noon(text) if name.endswith("_at") else text for name, text in record.items()}
    if "tube" in record:
        public["tube"] = _nameless(record["tube"], key, where)
        public["runs"] = [
            {**run, "tube": _nameless(run["tube"], key, where)} if run.get("tube") else run for run in record["runs"]
        ]
    return public


def _nameless(tube: dict[str, Any], key: bytes, where: str) -> dict[str, Any]:
    number = int.from_bytes(_keyed(key, f"{where} {tube['id']}")[:16])
    private = {"calibration": [], "offset": 0.0, "offset_uncertainty": 0.0, "offset_content": None}
    return tube | {"id": str(UUID(int=number & ~FIXED | VERSION_7))} | private


def _keyed(key: bytes, message: str) -> bytes:
    return hmac.digest(key, message.encode(), "sha256")


def _noon(time: str) -> str:
    """Noon UTC of the local day on which a time was written."""
    return f"{time[:10]}T12:00:00Z"


def downgrade() -> None:
    """Refuse: the way back is the backup made before the upgrade."""
    raise NotImplementedError("restore the backup made before the upgrade")
