"""From a coordinate to its region: the ISO 3166-2 subdivision, offline, from outlines made at build time.

The outlines come from pwa/build/outlines.mjs, whose first line names their sources and licences. They are accurate to
one or two kilometres. Closer to a border than that, the answer is marked uncertain and lists the neighbouring regions,
so that a person on the spot can say which it is.
"""

import gzip
import hashlib
import math
from dataclasses import dataclass
from functools import cache
from io import BytesIO
from itertools import chain, groupby, islice
from pathlib import Path

import msgspec
import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.polygon import orient

from splitline.errors import SplitlineError

NEAR_BORDER_KM = 2.0
"""Closer than this to another region's outline, the region is uncertain."""

FARTHEST_KM = 50.0
"""A coordinate outside all outlines gets the nearest region within this distance: coasts are drawn coarsely."""

KM_PER_DEGREE = 111.195
"""Length of one degree of a great circle on a sphere of radius 6371 km."""

BATCH = 200
"""Regions built at a time: all at once would take 80 MB, one by one three times as long."""

PACKAGED = Path(__file__).with_name("outlines.jsonl.gz")
IN_TREE = Path(__file__).parents[2] / "pwa" / "built" / "outlines.jsonl.gz"


class OutlinesMissing(SplitlineError):
    """The package was built without the outlines."""


@dataclass(frozen=True, slots=True)
class Region:
    """A subdivision. code: ISO 3166-2, or the country's ISO 3166-1 code where no subdivision is drawn."""

    code: str
    name: str
    country: str


@dataclass(frozen=True, slots=True)
class Located:
    """The region of a coordinate.

    region: None more than `FARTHEST_KM` from any outline. certain: False near a border, off the drawn land, and where
    only the country is known. alternatives: other regions it may be in, nearest first.
    """

    region: Region | None
    certain: bool
    alternatives: tuple[Region, ...] = ()

    def accepts(self, code: str) -> bool:
        """Whether to believe a person who says that the coordinate is in this region."""
        return any(region is not None and region.code == code for region in (self.region, *self.alternatives))


@dataclass(frozen=True, slots=True)
class _Candidate:
    distance: float
    region: Region


class _Named(msgspec.Struct):
    code: str
    name: str
    country: str


class _Head(msgspec.Struct):
    about: str
    sources: list[dict[str, str]]
    scale: int
    undrawn: list[_Named]


class _Outline(_Named):
    polygons: list[list[list[int]]]


class Regions:
    """All regions, with an index of their outlines.

    drawn: those that have an outline. sources: title, licence, carrier and changes of what the outlines come from.
    digest: of the outlines, 16 hex digits; it changes when they are redrawn.
    """

    def __init__(self, path: Path) -> None:
        decoder = msgspec.json.Decoder(_Outline)
        packed = path.read_bytes()
        self.digest = hashlib.sha256(packed).hexdigest()[:16]
        lines = BytesIO(gzip.decompress(packed))
        head = msgspec.json.decode(lines.readline(), type=_Head)
        self.sources = head.sources
        self.drawn: list[Region] = []
        shapes: list[NDArray[np.object_]] = []
        counts: list[int] = []
        while outlines := [decoder.decode(line) for line in islice(lines, BATCH)]:
            self.drawn += [Region(outline.code, outline.name, outline.country) for outline in outlines]
            shapes.append(_shapes([polygon for outline in outlines for polygon in outline.polygons], head.scale))
            counts += [len(outline.polygons) for outline in outlines]
        self._tree = shapely.STRtree(np.concatenate(shapes))
        self._owners = np.repeat(np.arange(len(counts)), counts)
        undrawn = [Region(named.code, named.name, named.country) for named in head.undrawn]
        self._undrawn = {country: list(group) for country, group in groupby(undrawn, lambda region: region.country)}
        self._by_code = {region.code: region for region in (*undrawn, *self.drawn)}
        self._places = {region.code: place for place, region in enumerate(self.drawn)}

    def by_code(self, code: str) -> Region | None:
        """The region with this code, drawn or not; None when there is none."""
        return self._by_code.get(code)

    def is_drawn(self, code: str) -> bool:
        """Whether the region with this code has an outline, so that `at` can find it."""
        return code in self._places

    def outline(self, code: str) -> shapely.MultiPolygon | None:
        """The region's outline in WGS 84 degrees, x east and y north; None if it has none.

        Shells run counterclockwise, as RFC 7946 requires.
        """
        parts = [self._tree.geometries[index] for index in np.flatnonzero(self._owners == self._places.get(code, -1))]
        return shapely.MultiPolygon([orient(part) for part in parts]) if parts else None

    def at(self, latitude: float, longitude: float) -> Located:
        """The region of a coordinate.

        latitude, longitude: WGS 84 degrees, -90..90 and -180..180.
        """
        near = self._within(latitude, longitude, 2 * NEAR_BORDER_KM)
        if not near:
            return self._located(self._within(latitude, longitude, FARTHEST_KM)[:1], certain=False)
        nearest = near[0].distance
        rivals = [candidate for candidate in near if candidate.distance <= nearest + NEAR_BORDER_KM]
        return self._located(rivals, certain=len(rivals) == 1 and nearest <= NEAR_BORDER_KM)

    def _located(self, near: list[_Candidate], certain: bool) -> Located:
        possible = [region for candidate in near for region in self._meant_by(candidate.region)]
        if not possible:
            return Located(None, certain=False)
        return Located(possible[0], certain and len(possible) == 1, tuple(possible[1:]))

    def _meant_by(self, region: Region) -> list[Region]:
        """The region itself; for a country drawn as a whole, also its subdivisions without an outline."""
        return [region, *self._undrawn.get(region.code, [])]

    def _within(self, latitude: float, longitude: float, limit: float) -> list[_Candidate]:
        """Every region whose outline is at most `limit` km away, nearest first; 0 km inside it."""
        nearest: dict[int, float] = {}
        for index in self._tree.query(_box(latitude, longitude, limit), predicate="intersects"):
            distance = _kilometres(self._tree.geometries[index], latitude, longitude)
            owner = int(self._owners[index])
            nearest[owner] = min(distance, nearest.get(owner, limit))
        ordered = sorted((distance, owner) for owner, distance in nearest.items() if distance <= limit)
        return [_Candidate(distance, self.drawn[owner]) for distance, owner in ordered]


@cache
def regions() -> Regions:
    """The regions that came with this installation, read once.

    Raises OutlinesMissing when they were not built in.
    """
    for path in (PACKAGED, IN_TREE):
        if path.is_file():
            return Regions(path)
    raise OutlinesMissing("the outlines of the regions are missing: install Splitline again with pip")


def _shapes(polygons: list[list[list[int]]], scale: int) -> NDArray[np.object_]:
    """Build polygons from rings of coordinate differences, all at once: one by one takes three times as long."""
    rings = [ring for polygon in polygons for ring in polygon]
    corners = np.array([len(ring) // 2 for ring in rings])
    differences = np.fromiter(chain.from_iterable(rings), dtype=np.int64).reshape(-1, 2)
    sums = np.concatenate(([[0, 0]], np.cumsum(differences, axis=0)))
    # Each ring starts at its own origin: subtract the sum of the rings before it.
    before = np.repeat(sums[np.cumsum(corners) - corners], corners, axis=0)
    of_ring = np.repeat(np.arange(len(rings)), corners)
    of_polygon = np.repeat(np.arange(len(polygons)), [len(polygon) for polygon in polygons])
    lines = shapely.linearrings((sums[1:] - before) / scale, indices=of_ring)
    return np.asarray(shapely.polygons(lines, indices=of_polygon))


def _box(latitude: float, longitude: float, distance: float) -> shapely.Polygon:
    """A box in degrees around the circle of `distance` km."""
    height = distance / KM_PER_DEGREE
    width = height / _shrink(latitude)
    return shapely.box(longitude - width, latitude - height, longitude + width, latitude + height)


def _kilometres(shape: shapely.Geometry, latitude: float, longitude: float) -> float:
    """Distance from a coordinate to a nearby shape, km, on the tangent plane there."""
    scale = np.array([KM_PER_DEGREE * _shrink(latitude), KM_PER_DEGREE])
    here = np.array([longitude, latitude])
    flat = shapely.transform(shape, lambda corners: (corners - here) * scale)
    return float(shapely.distance(flat, shapely.Point(0.0, 0.0)))


def _shrink(latitude: float) -> float:
    """Length of a degree of longitude relative to one of latitude."""
    return max(math.cos(math.radians(latitude)), 0.01)
