"""The records that phones send and the server stores: the one definition of every field.

Times are RFC 3339 with an offset, volumes mL, temperatures degrees Celsius, contents % (V/V), coordinates WGS 84
degrees. A record never changes: a correction has the same id and a higher revision.
"""

from datetime import datetime
from typing import Annotated, Any, Final, Literal

from msgspec import Meta, Struct, field

from splitline.chemistry.measurement import Liquid, ScaleKind

UUID_V7 = "^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$"

# Patterns come with a length, because `$` also matches before a final line break.
Identifier = Annotated[
    str, Meta(pattern=UUID_V7, max_length=36, description="UUID version 7, lower case, made on the device")
]
Digest = Annotated[
    str, Meta(pattern="^[0-9a-f]{64}$", max_length=64, description="SHA-256 of the picture's bytes, lower-case hex")
]
Subdivision = Annotated[str, Meta(pattern="^[A-Z]{2}-[A-Z0-9]{1,3}$", max_length=6, description="ISO 3166-2 code")]
Time = Annotated[datetime, Meta(tz=True, description="RFC 3339 with offset")]
Revision = Annotated[int, Meta(ge=1, le=1_000_000)]

Millilitres = Annotated[float, Meta(ge=0, le=2000, description="mL")]
Celsius = Annotated[float, Meta(ge=-20, le=40, description="degrees Celsius, the range of OIML R 22")]
Percent = Annotated[float, Meta(ge=-50, le=150, description="% (V/V)")]
Latitude = Annotated[float, Meta(ge=-90, le=90, description="WGS 84 degrees")]
Longitude = Annotated[float, Meta(ge=-180, le=180, description="WGS 84 degrees")]

Sampled = Literal["pump", "can", "tank"]

LICENCE: Final = "CC0-1.0"
# Marks a field that older records lack; they get its default. JSON texts leave it out where it has its default.
LATER: Final = Meta(extra_json_schema={"x-later": True})


def written(default: Any) -> Any:
    """Return the default of a field that JSON texts always have: `omit_defaults` only omits plain values."""
    return field(default_factory=type(None) if default is None else lambda: default)


class Record(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """What every record has: a permanent id, and a revision that only rises."""

    id: Identifier
    revision: Revision


class Source(Record, frozen=True, kw_only=True):
    """A place that sells the fuel.

    subdivision: the ISO 3166-2 code the person confirmed near a border; the server decides from the coordinate
    elsewhere. pump: the label on the pump, where a station has several.
    """

    kind: Literal["source"]
    name: Annotated[str, Meta(min_length=1, max_length=80)]
    latitude: Latitude
    longitude: Longitude
    recorded_at: Time
    subdivision: Subdivision | None = written(None)
    pump: Annotated[str, Meta(max_length=40)] = written("")
    notes: Annotated[str, Meta(max_length=500)] = written("")


class CalibrationMark(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A mark of a tube: the volume printed at it and the volume of water weighed into it, mL."""

    nominal: Millilitres
    true: Millilitres


class Tube(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """The tube a test was made in.

    scale: what is printed on it, see chemistry/measurement.py. graduation: smallest step, in mL on a volume scale, else
    in printed %. tolerance: limit of error of the marks in mL, if stated. calibration: marks that were weighed. offset:
    by how many points the tube reads low, found with a known sample, with its expanded uncertainty (95 %); both 0 if
    none was run. offset_content: content of the known sample, % (V/V); an offset without it dates from before the
    correction for exchange between the layers.
    """

    id: Identifier
    scale: ScaleKind
    graduation: Annotated[float, Meta(gt=0, le=50)]
    liquid: Liquid = written("water")
    tolerance: Annotated[float, Meta(ge=0, le=50, description="mL")] | None = written(None)
    calibration: Annotated[tuple[CalibrationMark, ...], Meta(max_length=24), LATER] = ()
    offset: Annotated[float, Meta(ge=-15, le=15, description="points of % (V/V)"), LATER] = 0.0
    offset_uncertainty: Annotated[float, Meta(ge=0, le=30, description="points of % (V/V), 95 % coverage"), LATER] = 0.0
    offset_content: Annotated[Percent | None, LATER] = None


class Place(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A point in a picture, in pixels, x to the right and y down."""

    x: Annotated[float, Meta(ge=0, le=20_000)]
    y: Annotated[float, Meta(ge=0, le=20_000)]


class PhotoMarks(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Where a person marked the tube in a photo, so that anyone can check the reading against the picture.

    photo: one of the test's photos. bottom_volume: volume at the bottom mark, mL; the volumes at the water and the fuel
    mark are those of the run.
    """

    photo: Digest
    bottom_volume: Millilitres
    bottom: Place
    water: Place
    fuel: Place
    line: Place


class Run(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, omit_defaults=True):
    """One filling, shaking and reading of the tube.

    water, fuel: volumes filled, mL. line: the parting line on a volume scale, mL. percent: the line on a printed
    percent scale. Exactly one of line and percent is given. top: surface of the fuel, mL, if it was read.
    line_half_width: half-width of the line's uncertainty, mL, where a photo shows it. marks: the photo's marks. tube:
    if it is not the test's. set_aside: why the run does not count in the content; empty if it does.
    """

    water: Millilitres
    fuel: Millilitres
    line: Millilitres | None = written(None)
    percent: Percent | None = written(None)
    top: Millilitres | None = written(None)
    line_half_width: Annotated[Millilitres | None, LATER] = None
    marks: Annotated[PhotoMarks | None, LATER] = None
    tube: Annotated[Tube | None, LATER] = None
    set_aside: Annotated[str, Meta(max_length=200, pattern=r"^(\S|$)"), LATER] = ""


class Test(Record, frozen=True, kw_only=True):
    """One visit to a source (or one can filled there), with the runs made on that sample.

    temperature: of the tube when read. water_temperature, fuel_temperature: when filled; one left out equals the other,
    and if both are, the tube's. content, expanded_uncertainty: as the device computed them, % (V/V), 95 % coverage; the
    server computes its own. model: the version of the tube model that the device used. consent: the licence under which
    the person shares it.
    """

    kind: Literal["test"]
    source: Identifier
    sampled: Sampled
    sampled_at: Time
    tested_at: Time
    tube: Tube
    temperature: Celsius
    temperature_measured: bool
    fuel_water: Annotated[float, Meta(ge=0, le=10, description="% (V/V) water in the fuel")]
    runs: Annotated[tuple[Run, ...], Meta(min_length=1, max_length=9)]
    content: Percent
    expanded_uncertainty: Annotated[float, Meta(gt=0, le=100, description="% (V/V), 95 % coverage")]
    consent: Literal["CC0-1.0"]
    note: Annotated[str, Meta(max_length=1000)] = written("")
    photos: Annotated[tuple[Digest, ...], Meta(max_length=6)] = written(())
    water_temperature: Annotated[Celsius | None, LATER] = None
    water_temperature_measured: Annotated[bool, LATER] = False
    fuel_temperature: Annotated[Celsius | None, LATER] = None
    fuel_temperature_measured: Annotated[bool, LATER] = False
    model: Annotated[int, Meta(ge=1, le=1000), LATER] = 1


class Retraction(Record, frozen=True, kw_only=True):
    """Withdraws a record: its figures, note and photos leave the server; a tombstone with the id stays."""

    kind: Literal["source", "test"]
    retracted: Literal[True]
