"""The API's answers, field by field; contents and uncertainties in % (V/V), distances in km."""

from datetime import datetime
from typing import Annotated, Any, Literal, TypeVar

from msgspec import Meta, Struct

from splitline.answers import Answer
from splitline.feed import SourceChange, TestChange
from splitline.figures.figure_rows import Upto

# Degrees north and east; the handler checks the range, so that every impossible position gets the same error.
ON_EARTH = r"^-?([0-8]?[0-9](\.[0-9]+)?|90(\.0+)?),-?([0-9]{1,2}(\.[0-9]+)?|1[0-7][0-9](\.[0-9]+)?|180(\.0+)?)$"
Near = Annotated[str, Meta(max_length=60, description="latitude,longitude", extra_json_schema={"pattern": ON_EARTH})]
RegionList = Annotated[
    str,
    Meta(
        pattern="^[A-Z]{2}(-[A-Z0-9]{1,3})?(,[A-Z]{2}(-[A-Z0-9]{1,3})?)*$",
        max_length=700,
        description="ISO 3166-2 codes, separated by commas",
    ),
]

# Reference from one schema of the description to another.
REFERENCE = "#/components/schemas/{name}"
Json = dict[str, Any]
FILE: Json = {"type": "string", "format": "binary"}

Shape = TypeVar("Shape", bound=Struct)


def shown(shape: type[Shape], row: object, **rest: Any) -> Shape:
    """Return the API form of a row: its fields of the same names, and the rest as given."""
    return shape(**{name: getattr(row, name) for name in shape.__struct_fields__ if name not in rest}, **rest)


class PullQuery(Struct, frozen=True, kw_only=True):
    """cursor: from the last answer; without one, from the beginning."""

    cursor: Annotated[str, Meta(max_length=60)] = ""
    region: RegionList | None = None
    limit: Annotated[int, Meta(ge=1, le=500)] = 500


class RankQuery(Struct, frozen=True, kw_only=True):
    """minimum: the content a driver needs, for the probability that the next fill meets it."""

    near: Near
    within_km: Annotated[float, Meta(gt=0, le=1000)] = 100.0
    order: Literal["steadiest", "floor", "nearest"] = "steadiest"
    limit: Annotated[int, Meta(ge=1, le=500)] = 50
    minimum: Annotated[float, Meta(ge=0, le=100)] = 70.0


class SourceQuery(Struct, frozen=True, kw_only=True):
    """near: a position, for distance and bearing."""

    near: Near | None = None
    minimum: Annotated[float, Meta(ge=0, le=100)] = 70.0


class PhotoQuery(Struct, frozen=True, kw_only=True):
    """width: pixels; if the picture is wider, the copy served is at least this wide."""

    width: Annotated[int, Meta(ge=1, le=10_000)] | None = None


class OwnQuery(Struct, frozen=True, kw_only=True):
    """ids: of records, separated by commas."""

    ids: Annotated[
        str,
        Meta(
            min_length=36,
            max_length=50 * 37,
            pattern="^[0-9a-f-]{36}(,[0-9a-f-]{36})*$",
            description="ids of records, separated by commas",
        ),
    ]


class NoQuery(Struct, frozen=True, kw_only=True):
    """No query parameters."""


class Pushed(Struct, frozen=True, kw_only=True):
    """One answer per record, in order. received_at: the server's clock."""

    answers: tuple[Answer, ...]
    received_at: datetime


class Pulled(Struct, frozen=True, kw_only=True):
    """A page of changes. cursor: for the next page; more: whether there is one already."""

    changes: tuple[SourceChange | TestChange, ...]
    cursor: str
    more: bool


class LevelChange(Struct, frozen=True, kw_only=True):
    """A step in a source's level."""

    at: datetime
    direction: Literal["up", "down"]


class SourceFigures(Struct, frozen=True, kw_only=True):
    """Figures of a source; intervals at 90 %. tau: scatter from delivery to delivery. evidence: 0..3.

    tests: from at most the newest 500 visits of two years, 20 tests a visit. visits: those used, since the level last
    changed. season_uncertainty: standard, of the present level, from the season. wrong: dates of visits judged to be
    gross errors. established: number of contributors known to the server for long enough and compared with others; only
    these are evidence.
    """

    typical: float
    typical_interval: tuple[float, float]
    tau: float
    tau_interval: tuple[float, float]
    next_fill: tuple[float, float]
    floor: float
    probability_at_minimum: float | None
    tests: int
    visits: int
    contributors: int
    established: int
    last_sampled_at: datetime
    evidence: int
    changes: tuple[LevelChange, ...]
    season_uncertainty: float
    wrong: tuple[datetime, ...]


class Ranked(Struct, frozen=True, kw_only=True):
    """A source as seen by a driver. bearing_deg: clockwise from north."""

    id: str
    name: str
    pump: str
    latitude: float
    longitude: float
    region: str
    distance_km: float | None
    bearing_deg: float | None
    figures: SourceFigures | None


class RankedList(Struct, frozen=True, kw_only=True):
    """Tested sources in order, and untested ones, nearest first."""

    sources: tuple[Ranked, ...]
    unsampled: tuple[Ranked, ...]
    figures_upto: Upto


class SourcePage(Ranked, frozen=True, kw_only=True):
    """A source with its counted tests, newest first; those from the pump as far as its figures go."""

    notes: str
    tests: tuple[TestChange, ...]
    figures_upto: Upto


class RegionEntry(Struct, frozen=True, kw_only=True):
    """A region that has sources."""

    code: str
    name: str
    country: str
    sources: int
    tests: int
    contributors: int


class RegionEntries(Struct, frozen=True, kw_only=True):
    """All regions that have sources."""

    regions: tuple[RegionEntry, ...]


class RegionMonth(Struct, frozen=True, kw_only=True):
    """One month. centre, spread: robust, over visits; no spread for a single visit.

    inside: code of a specification -> share of the visits, 0..1, whose measured content is within its limits, ignoring
    the uncertainty of each.
    """

    month: str
    sources: int
    tests: int
    contributors: int
    centre: float
    spread: float | None
    inside: dict[str, float]


class RegionPage(Struct, frozen=True, kw_only=True):
    """A region by month, oldest first."""

    code: str
    name: str
    country: str
    months: tuple[RegionMonth, ...]
    figures_upto: Upto


class ContributorsQuery(Struct, frozen=True, kw_only=True):
    """region: if left out, all that have sources."""

    region: RegionList | None = None


class ContributorWeight(Struct, frozen=True, kw_only=True):
    """A contributor's weight in a region, above 0 to 1: from 0.75 on they are established."""

    region: str
    contributor: str
    weight: float


class Contributors(Struct, frozen=True, kw_only=True):
    """By region and contributor; one who is not listed is a stranger."""

    contributors: tuple[ContributorWeight, ...]


class TubeFigures(Struct, frozen=True, kw_only=True):
    """A tube's bias in a region, % (V/V), with its standard uncertainty; number of sources it rests on."""

    tube: str
    region: str
    offset: float
    uncertainty: float
    sources: int
    learned_at: datetime


class OwnTubes(Struct, frozen=True, kw_only=True):
    """The caller's own tubes, those with a known bias."""

    tubes: tuple[TubeFigures, ...]


class OwnRecords(Struct, frozen=True, kw_only=True):
    """The caller's own records, as they came. contributor, received_at: the real ones, not the public forms."""

    changes: tuple[SourceChange | TestChange, ...]


class PhotoKept(Struct, frozen=True, kw_only=True):
    """A stored picture. bytes: size as stored."""

    sha256: str
    bytes: int


class Tiles(Struct, frozen=True, kw_only=True):
    """The operator's map pictures. address: URL of one, with {z}, {x} and {y}. attribution: who made them."""

    address: str
    attribution: str


class Health(Struct, frozen=True, kw_only=True):
    """invented: the records were made up for the demo. outlines: digest that changes when they are redrawn.

    tiles: where the app may fetch map pictures.
    """

    status: Literal["ok"]
    version: str
    invented: bool
    outlines: str
    tiles: Tiles | None


class Probed(Struct, frozen=True, kw_only=True):
    """No fault was found."""

    status: Literal["ok"]
