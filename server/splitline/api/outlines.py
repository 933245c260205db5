"""A region's outline as the API gives it out."""

from typing import Literal

from msgspec import Struct


class MultiPolygon(Struct, frozen=True, kw_only=True):
    """Polygons of rings of corners [longitude, latitude], as RFC 7946 wants them."""

    type: Literal["MultiPolygon"] = "MultiPolygon"
    coordinates: list[list[list[list[float]]]]


class OutlineNames(Struct, frozen=True, kw_only=True):
    """Which region an outline is of."""

    code: str
    name: str
    country: str


class RegionOutline(Struct, frozen=True, kw_only=True):
    """A region as a Feature of GeoJSON; geometry: none where the region is known and not drawn."""

    type: Literal["Feature"] = "Feature"
    properties: OutlineNames
    geometry: MultiPolygon | None
