"""Regions against GeoNames' published subdivisions, against the ISO 3166-2 list, and at known borders."""

import csv
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pycountry
import pytest

from splitline import regions as looking_up
from splitline.regions import Located, Regions, regions

FIXTURES = Path(__file__).parents[2] / "fixtures"


@dataclass(frozen=True)
class Place:
    name: str
    latitude: float
    longitude: float
    continent: str
    sample: str
    codes: frozenset[str]

    @property
    def country(self) -> str:
        return min(self.codes)[:2]


def rows(name: str) -> Iterator[dict[str, str]]:
    with (FIXTURES / name).open(encoding="utf-8") as lines:
        yield from csv.DictReader(line for line in lines if not line.startswith("#"))


def places() -> list[Place]:
    return [
        Place(
            name=row["name"],
            latitude=float(row["latitude"]),
            longitude=float(row["longitude"]),
            continent=row["continent"],
            sample=row["sample"],
            codes=frozenset(row["codes"].split()),
        )
        for row in rows("places.csv")
    ]


@pytest.fixture(scope="module")
def all_regions() -> Regions:
    return regions()


@pytest.fixture(scope="module")
def located(all_regions: Regions) -> list[tuple[Place, Located]]:
    return [(place, all_regions.at(place.latitude, place.longitude)) for place in places()]


def outcome(place: Place, found: Located) -> str:
    """How an answer compares with the published code; "coarser" if only the country has an outline."""
    if found.region is None:
        return "none"
    if found.region.code in place.codes:
        return "right" if found.certain else "uncertain, right"
    if found.region.code == found.region.country == place.country:
        return "coarser"
    if found.certain:
        return "wrong"
    return "uncertain, offered" if any(found.accepts(code) for code in place.codes) else "uncertain, wrong"


def comparable(found: list[tuple[Place, Located]], all_regions: Regions) -> list[tuple[Place, Located]]:
    """Places with a GeoNames code of the level that has outlines in their country."""
    return [(place, there) for place, there in found if any(all_regions.is_drawn(code) for code in place.codes)]


def test_certain_answers_are_right(located: list[tuple[Place, Located]], all_regions: Regions) -> None:
    by_continent: defaultdict[str, Counter[str]] = defaultdict(Counter)
    world = [pair for pair in comparable(located, all_regions) if pair[0].sample == "world"]
    for place, found in world:
        by_continent[place.continent][outcome(place, found)] += 1
    total = sum(by_continent.values(), Counter())
    assert total["right"] > 3000
    assert total["right"] / (total["right"] + total["wrong"]) >= 0.99, by_continent
    for name, counts in by_continent.items():
        assert counts["right"] / (counts["right"] + counts["wrong"]) >= 0.96, (name, counts)


@pytest.mark.parametrize(
    ("country", "least"), [("US", 0.999), ("FR", 0.995), ("DE", 0.98), ("SE", 0.98), ("BR", 0.98), ("TH", 0.98)]
)
def test_countries_with_much_ethanol_fuel_are_resolved_well(
    located: list[tuple[Place, Located]], country: str, least: float, all_regions: Regions
) -> None:
    here = [pair for pair in comparable(located, all_regions) if pair[0].country == country]
    counts = Counter(outcome(place, found) for place, found in here)
    assert counts["right"] / (counts["right"] + counts["wrong"]) >= least, counts
    assert counts["right"] / len(here) >= 0.8, counts


def test_uncertain_answers_include_the_right_region(located: list[tuple[Place, Located]], all_regions: Regions) -> None:
    counts = Counter(outcome(place, found) for place, found in comparable(located, all_regions))
    offered = counts["uncertain, right"] + counts["uncertain, offered"]
    assert offered > 100
    assert offered / (offered + counts["uncertain, wrong"]) >= 0.97, counts


def test_nearly_every_place_has_a_region_in_its_country(located: list[tuple[Place, Located]]) -> None:
    countries = Counter(found.region is not None and found.region.country == place.country for place, found in located)
    assert countries[True] / countries.total() >= 0.98, countries


@pytest.mark.parametrize("row", list(rows("capitals.csv")), ids=lambda row: f"{row['code']} {row['name']}")
def test_capitals_are_in_their_regions(row: dict[str, str], all_regions: Regions) -> None:
    found = all_regions.at(float(row["latitude"]), float(row["longitude"]))
    assert found.accepts(row["code"])
    if found.certain:
        assert found.region is not None
        assert found.region.code == row["code"]


def test_every_drawn_code_is_in_the_standard(all_regions: Regions) -> None:
    """Against the list of Debian's iso-codes project, carried by pycountry."""
    valid = {subdivision.code for subdivision in pycountry.subdivisions} | {
        country.alpha_2 for country in pycountry.countries
    }
    unknown = {region.code for region in all_regions.drawn} - valid
    assert unknown == {"XK"}  # Kosovo: user-assigned, not in the standard


def test_regions_have_names_and_countries(all_regions: Regions) -> None:
    region = all_regions.by_code("FR-63")
    assert region is not None
    assert (region.name, region.country) == ("Puy-de-Dôme", "FR")
    assert all_regions.by_code("FR-00") is None
    assert all(region.code.startswith(region.country) and region.name for region in all_regions.drawn)


def test_a_border_is_uncertain_and_names_the_neighbour(all_regions: Regions) -> None:
    """State Line Road divides Kansas City between Kansas and Missouri (94.6077 degrees west, US Census Bureau)."""
    at_line = all_regions.at(39.05, -94.6077)
    assert not at_line.certain
    assert at_line.accepts("US-KS")
    assert at_line.accepts("US-MO")
    assert not at_line.accepts("US-NE")
    five_km_west = all_regions.at(39.05, -94.6077 - 5 / 111.2 / 0.777)
    assert five_km_west.certain
    assert five_km_west.region == all_regions.by_code("US-KS")
    assert five_km_west.alternatives == ()


def test_a_country_without_subdivisions_is_its_own_region(all_regions: Regions) -> None:
    """Stanley, Falkland Islands: ISO 3166-2 has no subdivisions there."""
    found = all_regions.at(-51.70, -57.85)
    assert found.certain
    assert found.region is not None
    assert (found.region.code, found.region.country) == ("FK", "FK")


def test_where_borders_were_redrawn_the_user_chooses(all_regions: Regions) -> None:
    """Nairobi: Natural Earth has the provinces from before 2013, ISO 3166-2 the counties (Nairobi City: KE-30)."""
    found = all_regions.at(-1.2864, 36.8172)
    assert not found.certain
    assert found.region is not None
    assert found.region.code == "KE"
    assert found.accepts("KE-30")


def test_positions_off_the_coast_belong_to_it_and_at_sea_to_nobody(all_regions: Regions) -> None:
    """Off Mimizan-Plage (44.21 N, 1.30 W, department 40): 20 km out belongs to the department, 300 km out to nobody."""
    degree = 111.2 * 0.7168  # km, of longitude, at 44.21 degrees north
    near = all_regions.at(44.21, -1.30 - 20 / degree)
    assert near.region == all_regions.by_code("FR-40")
    assert not near.certain
    assert all_regions.at(44.21, -1.30 - 300 / degree) == Located(None, certain=False)


@pytest.mark.parametrize(("latitude", "longitude"), [(90, 0), (-90, 180), (0, 180), (0, -180), (90, -180)])
def test_poles_and_date_line_are_handled(all_regions: Regions, latitude: float, longitude: float) -> None:
    assert all_regions.at(latitude, longitude).region is None


def test_sources_and_licences_travel_with_the_outlines(all_regions: Regions) -> None:
    assert {source["licence"] for source in all_regions.sources} == {"public domain", "MIT"}
    assert any("Natural Earth" in source["title"] for source in all_regions.sources)


def test_a_lookup_checks_few_outlines(all_regions: Regions, monkeypatch: pytest.MonkeyPatch) -> None:
    """A push of 500 records must not wait for region lookups: the index leaves few outlines to check."""
    measured, kilometres = 0, looking_up._kilometres

    def counted(*given: Any) -> float:
        nonlocal measured
        measured += 1
        return kilometres(*given)

    monkeypatch.setattr(looking_up, "_kilometres", counted)
    some = places()[:2000]
    for place in some:
        all_regions.at(place.latitude, place.longitude)
    print(f"{measured / len(some):.2f} of {len(all_regions.drawn)} outlines")
    assert measured < 2 * len(some)


def test_every_region_that_is_drawn_has_a_valid_outline_of_its_own(all_regions: Regions) -> None:
    for region in all_regions.drawn[::40]:
        drawn = all_regions.outline(region.code)
        assert drawn is not None
        inside = drawn.representative_point()
        located = all_regions.at(inside.y, inside.x)
        assert located.accepts(region.code), region
    assert all_regions.outline("GB-ENG") is None
