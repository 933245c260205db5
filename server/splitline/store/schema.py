"""The tables. `region` is part of every key, so that a PostgreSQL cluster can shard by it.

A record's row holds its newest revision only; a retracted one keeps its key, revision, contributor and place in the
sequence, but none of its contents. Ids are unique over all regions because writers run one at a time (see `engine.py`).
"""

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    Double,
    ForeignKeyConstraint,
    Index,
    Integer,
    String,
    Table,
    Text,
)

from splitline.store.columns import IN_KEY, identifier, index, record_columns, region
from splitline.store.columns import metadata as metadata
from splitline.store.types import Instant

# The newest migration, repeated here so that a server need not load Alembic to compare; a test checks that it matches.
HEAD = "1010"

# Conditions for partial indexes of rare rows: not counted, not from a pump, held as out of line, and with flags.
ASIDE = "state <> 'counted'"
FROM_CANS = "state = 'counted' AND sampled <> 'pump'"
DOUBTED = "state = 'held' AND flags LIKE '%out_of_line%'"
FLAGGED = "flags <> ''"

# One row. value: the last number taken; epoch: identifies this database, so that another one's cursor is recognised.
# figures: how often figures were written, and when last.
sequence = Table(
    "sequence",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=False),
    Column("epoch", String(16), nullable=False),
    Column("value", BigInteger, nullable=False),
    Column("invented", Boolean, nullable=False),
    Column("figures", BigInteger, nullable=False),
    Column("figures_at", Instant),
    Column("model", Integer, nullable=False, server_default="1"),
)

contributors = Table(
    "contributors",
    metadata,
    Column("id", String(16), primary_key=True),
    Column("secret_digest", String(64), nullable=False),
    Column("first_seen_at", Instant, nullable=False),
)

# Days (UTC, since 1970-01-01) on which the server received counted tests from the pump, by contributor; never deleted.
reports = Table(
    "reports",
    metadata,
    Column("contributor", String(16), primary_key=True),
    region(),
    Column("day", Integer, primary_key=True, autoincrement=False),
    **IN_KEY,
)

# into: the surviving source, while this one is merged. band: of latitude, see `position.band_of`.
# proposed, settled_...: a waiting change, and the position that small moves are measured from, see `intake.ownership`.
sources = Table(
    "sources",
    metadata,
    identifier("id"),
    region(),
    *record_columns(),
    Column("latitude", Double),
    Column("longitude", Double),
    Column("into", String(36)),
    Column("band", Integer),
    Column("proposed", Text),
    Column("settled_latitude", Double),
    Column("settled_longitude", Double),
    Index(None, "sequence"),
    Index("ix_sources_region_sequence", "region", "sequence"),
    Index("ix_sources_band_longitude", "band", "longitude"),
    Index(None, "into"),
    index("ix_sources_flagged", "sequence", only=FLAGGED),
    index("ix_sources_standing", "region", "state", only="state = 'counted'"),
)

# Who merged a source into another, and when; nothing else changes, so that a merge can be undone.
merges = Table(
    "merges",
    metadata,
    Column("sequence", BigInteger, primary_key=True, autoincrement=False),
    Column("source", String(36), nullable=False),
    Column("into", String(36), nullable=False),
    Column("merged_by", String(80), nullable=False),
    Column("merged_at", Instant, nullable=False),
    Column("undone_at", Instant),
    Index(None, "source"),
)

decisions = Table(
    "decisions",
    metadata,
    Column("sequence", BigInteger, primary_key=True, autoincrement=False),
    Column("action", String(8), nullable=False),
    Column("record", String(36), nullable=False),
    Column("revision", Integer, nullable=False),
    Column("why", Text, nullable=False),
    Column("decided_by", String(80), nullable=False),
    Column("decided_at", Instant, nullable=False),
    Index(None, "record"),
)

tests = Table(
    "tests",
    metadata,
    identifier("id"),
    region(),
    *record_columns(),
    Column("source", String(36)),
    Column("sampled", String(8)),
    Column("sampled_at", Instant),
    Column("month", String(7)),
    Column("day", Integer),
    Column("twin_key", String(32)),
    Column("tube", String(36)),
    Column("content", Double),
    Column("expanded_uncertainty", Double),
    Column("own_uncertainty", Double),
    Column("shared_uncertainty", Double),
    Column("coverage_factor", Double),
    Column("model", Integer),
    Column("former", Text),
    ForeignKeyConstraint(["source", "region"], ["sources.id", "sources.region"], deferrable=True, initially="DEFERRED"),
    Index(None, "sequence"),
    Index("ix_tests_read", "source", "region", "contributor", "day", "twin_key"),
    Index("ix_tests_region_sequence", "region", "sequence"),
    index("ix_tests_aside", "source", only=ASIDE),
    index("ix_tests_from_cans", "source", "day", only=FROM_CANS),
    index("ix_tests_doubted", "source", "day", only=DOUBTED),
)

# Which pictures a test shows.
test_photos = Table(
    "test_photos",
    metadata,
    identifier("test"),
    region(),
    Column("digest", String(64), primary_key=True),
    ForeignKeyConstraint(["test", "region"], ["tests.id", "tests.region"], deferrable=True, initially="DEFERRED"),
    Index(None, "digest"),
)

# leaving: no test shows it any more; its bytes are deleted after that transaction, or at the next start.
# look: difference hash, 16 hex digits. unnamed_since: when it came, while no test names it.
photos = Table(
    "photos",
    metadata,
    Column("digest", String(64), primary_key=True),
    Column("contributor", String(16), nullable=False),
    Column("media_type", String(16), nullable=False),
    Column("bytes", Integer, nullable=False),
    Column("received_at", Instant, nullable=False),
    Column("leaving", Boolean, nullable=False),
    Column("look", String(16)),
    Column("unnamed_since", Instant),
    Index(None, "unnamed_since"),
    index("ix_photos_leaving", "digest", only="leaving"),
)

# The keys by which similar pictures are found, see `perceptual_hash.bands`.
photo_bands = Table(
    "photo_bands",
    metadata,
    Column("key", Integer, primary_key=True, autoincrement=False),
    Column("digest", String(64), primary_key=True),
    Index(None, "digest"),
)

# Records that moved to another region, so that phones following the old region pull the move.
departures = Table(
    "departures",
    metadata,
    identifier("id"),
    region(),
)

# Changes of visits that are not in the figures yet, see `store.stale`: appended to, and taken from the start.
# since: the change's number; at: its time.
changed_visits = Table(
    "changed_visits",
    metadata,
    Column("since", BigInteger, primary_key=True, autoincrement=False),
    region(),
    Column("source", String(36), primary_key=True),
    Column("contributor", String(16), primary_key=True),
    Column("day", Integer, primary_key=True, autoincrement=False),
    Column("at", Instant, nullable=False),
    **IN_KEY,
)

# The other stale figures. since: the first change not included yet; at: its time.
# key: the id of a source, region and month, or a region.
stale = Table(
    "stale",
    metadata,
    Column("kind", String(6), primary_key=True),
    Column("key", String(36), primary_key=True),
    Column("since", BigInteger, nullable=False),
    Column("stamp", BigInteger, nullable=False),
    Column("at", Instant, nullable=False),
    Index("ix_stale_kind_since", "kind", "since"),
    **IN_KEY,
)

# Visits: means of one contributor's counted tests at one source on one day (since 1970-01-01).
# own_variance: of the mean; sampled_at: noon UTC of the day; tests: how many. Ordered by day, so that those of
# a region and month are stored together.
visits = Table(
    "visits",
    metadata,
    region(),
    Column("day", Integer, primary_key=True, autoincrement=False),
    Column("source", String(36), primary_key=True),
    Column("contributor", String(16), primary_key=True),
    Column("month", String(7), nullable=False),
    Column("tube", String(36), nullable=False),
    Column("sampled_at", Instant, nullable=False),
    Column("content", Double, nullable=False),
    Column("own_variance", Double, nullable=False),
    Column("shared_uncertainty", Double, nullable=False),
    Column("tests", Integer, nullable=False),
    Index("ix_visits_source_day", "source", "day"),
    **IN_KEY,
)

# day: the day they are for.
source_figures = Table(
    "source_figures",
    metadata,
    identifier("source"),
    region(),
    Column("tests", Integer, nullable=False),
    Column("day", Integer, nullable=False),
    Column("figures", Text, nullable=False),
)

# contents: JSON text of a `statistics.histogram.Histogram` of the visits.
region_months = Table(
    "region_months",
    metadata,
    region(),
    Column("month", String(7), primary_key=True),
    Column("sources", Integer, nullable=False),
    Column("tests", Integer, nullable=False),
    Column("contributors", Integer, nullable=False),
    Column("centre", Double, nullable=False),
    Column("spread", Double),
    Column("contents", Text, nullable=False),
)

# The process that updates figures locks the single row, where there may be several processes (PostgreSQL).
refreshing = Table("refreshing", metadata, Column("id", Integer, primary_key=True, autoincrement=False))

# lessons: JSON text of `statistics.priors.Priors` without its offsets, season: of its own visits, not shrunk.
region_lessons = Table(
    "region_lessons",
    metadata,
    region(),
    Column("tests", Integer, nullable=False),
    Column("contributors", Integer, nullable=False),
    Column("lessons", Text, nullable=False),
    Column("season", Text, nullable=False),
    Column("day", Integer, nullable=False),
    Column("learned_at", Instant, nullable=False),
    Column("heaviest", Double, nullable=False, server_default="1"),
)

# Contributors' weights in regions, see `statistics.influence`; `heaviest` above is the largest of them.
contributor_weights = Table(
    "contributor_weights",
    metadata,
    region(),
    Column("contributor", String(16), primary_key=True),
    Column("weight", Double, nullable=False),
    **IN_KEY,
)

# Offsets of contributors' tubes in a region, see `statistics.instrument_bias.TubeOffset`; % (V/V).
tube_offsets = Table(
    "tube_offsets",
    metadata,
    region(),
    Column("contributor", String(16), primary_key=True, index=True),
    Column("tube", String(36), primary_key=True),
    Column("offset", Double, nullable=False),
    Column("uncertainty", Double, nullable=False),
    Column("sources", Integer, nullable=False),
    **IN_KEY,
)
