"""A region's outline in the form the API sends it."""

from typing import Literal

from msgspec import Struct


class MultiPolygon(Struct, frozen=True, kw_only=True):
    """Polygons: rings of corners [longitude, latitude], as RFC 7946 requires."""

    type: Literal["MultiPolygon"] = "MultiPolygon"
    coordinates: list[list[list[list[float]]]]


class OutlineNames(Struct, frozen=True, kw_only=True):
    """The region that an outline belongs to."""

    code: str
    name: str
    country: str


class RegionOutline(Struct, frozen=True, kw_only=True):
    """A region as a GeoJSON Feature; geometry is null if the region is known but not drawn."""

    type: Literal["Feature"] = "Feature"
    properties: OutlineNames
    geometry: MultiPolygon | None
