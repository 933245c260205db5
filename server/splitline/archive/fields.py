"""The columns of the public dataset: name, type and meaning of each, for the CSV and its descriptor."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Literal

from splitline.records import Source, Test
from splitline.store.rows import TestRow

CONTENT = "% (V/V)"
# Characters that start a formula in a spreadsheet, also in the full-width form that some keyboards type. A spreadsheet
# skips spaces and zero-width characters before them.
UNSEEN = " \N{NO-BREAK SPACE}\N{ZERO WIDTH SPACE}\N{ZERO WIDTH NON-JOINER}\N{ZERO WIDTH JOINER}\N{BYTE ORDER MARK}"
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


@dataclass(frozen=True, slots=True)
class Published:
    """One reading as published: row, record, the source it counts at, and a pseudonym."""

    row: TestRow
    test: Test
    source: Source
    contributor: str


@dataclass(frozen=True, slots=True)
class Field:
    """A column. kind: as Table Schema names it; unit: of a number."""

    name: str
    kind: Literal["string", "number", "integer", "datetime"]
    meaning: str
    value: Callable[[Published], object]
    unit: str = ""

    def text(self, published: Published) -> str:
        """Return a reading's cell, with typed text escaped so that no spreadsheet runs it as a formula."""
        value = self.value(published)
        if isinstance(value, datetime):
            return f"{value.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}"
        text = "" if value is None else str(value)
        return harmless(text) if self.kind == "string" else text


def harmless(text: str) -> str:
    """Return a text with an apostrophe before anything that would start a formula."""
    return f"'{text}" if text.lstrip(UNSEEN).startswith(FORMULA) else text


FIELDS = (
    Field("source", "string", "id of the source, the same as in the GeoJSON", lambda one: one.source.id),
    Field("source_name", "string", "name of the source", lambda one: one.source.name),
    Field("pump", "string", "label on the pump, where a station has several", lambda one: one.source.pump),
    Field("latitude", "number", "of the source, WGS 84", lambda one: one.source.latitude, "degree"),
    Field("longitude", "number", "of the source, WGS 84", lambda one: one.source.longitude, "degree"),
    Field("region", "string", "ISO 3166-2 code of the subdivision", lambda one: one.row.region),
    Field("sampled", "string", "where the sample came from: pump, can or tank", lambda one: one.test.sampled),
    Field("sampled_at", "datetime", "day on which the sample was drawn, at noon UTC", lambda one: one.test.sampled_at),
    Field("tested_at", "datetime", "day on which it was tested, at noon UTC", lambda one: one.test.tested_at),
    Field("content", "number", "ethanol content, computed by the server", lambda one: one.row.content, CONTENT),
    Field(
        "expanded_uncertainty",
        "number",
        "of the content, 95 % coverage",
        lambda one: one.row.expanded_uncertainty,
        CONTENT,
    ),
    Field(
        "own_uncertainty",
        "number",
        "standard uncertainty that is independent in every test",
        lambda one: one.row.own_uncertainty,
        CONTENT,
    ),
    Field(
        "shared_uncertainty",
        "number",
        "standard uncertainty shared by the tests in one tube, or by all",
        lambda one: one.row.shared_uncertainty,
        CONTENT,
    ),
    Field("coverage_factor", "number", "of the expanded uncertainty", lambda one: one.row.coverage_factor, "1"),
    Field(
        "runs",
        "integer",
        "number of runs behind the content",
        lambda one: sum(not run.set_aside for run in one.test.runs),
        "1",
    ),
    Field("scale", "string", "kind of scale of the tube", lambda one: one.test.tube.scale),
    Field("graduation", "number", "smallest step of the scale, mL or printed %", lambda one: one.test.tube.graduation),
    Field("liquid", "string", "what was shaken with the fuel: water or brine", lambda one: one.test.tube.liquid),
    Field("temperature", "number", "of the tube when read", lambda one: one.test.temperature, "degree Celsius"),
    Field("fuel_water", "number", "water assumed in the fuel", lambda one: one.test.fuel_water, CONTENT),
    Field(
        "contributor",
        "string",
        "pseudonym of a person: different in every region and calendar year",
        lambda one: one.contributor,
    ),
    Field(
        "water_temperature",
        "number",
        "of the water when filled, if known",
        lambda one: one.test.water_temperature,
        "degree Celsius",
    ),
    Field(
        "fuel_temperature",
        "number",
        "of the fuel when filled, if known",
        lambda one: one.test.fuel_temperature,
        "degree Celsius",
    ),
    Field("model", "integer", "version of the tube model behind the content", lambda one: one.row.model, "1"),
)
