"""The app's record types are generated from the server's, and the generator knows every kind of field."""

import runpy
from pathlib import Path
from typing import Annotated, Any, Literal

import pytest
from msgspec import Meta, Struct

GENERATOR = runpy.run_path(str(Path(__file__).parents[2] / "pwa" / "build" / "records.py"))
LATER = Meta(extra_json_schema={"x-later": True})


def test_the_apps_types_match_the_server() -> None:
    wanted = GENERATOR["typescript"](GENERATOR["HEAD"], GENERATOR["EXPORTED"], GENERATOR["LISTED"])
    assert GENERATOR["TARGET"].read_text(encoding="utf-8") == wanted, "run: python pwa/build/records.py"


class Mark(Struct, tag_field="kind", tag="mark", kw_only=True):
    """A mark.

    at: its place.
    """

    at: Annotated[float, Meta(ge=0, description="mL")] | None
    name: str = ""
    seen: bool
    count: Annotated[int, LATER] = 1


class Line(Struct, tag_field="kind", tag="line"):
    colour: Literal["red", "blue"]
    same: Literal["red", "blue"] | None
    marks: tuple[Mark, ...]
    parts: "tuple[Mark | Line, ...]"
    other: list[str | None]


WANTED = """\
/** Types. */

export const COLOURS = ["red", "blue"] as const;

export type Colour = "blue" | "red";

export type Part = Mark | Stroke;

/**
 * A mark.
 *
 * at: its place.
 */
export interface Mark {
  kind: "mark";
  /** mL */
  at: number | null;
  name: string;
  seen: boolean;
  /** where it is missing: 1 */
  count?: number;
}

export interface Stroke {
  kind: "line";
  colour: Colour;
  same: Colour | null;
  marks: Mark[];
  parts: Part[];
  other: (string | null)[];
}
"""


def test_every_kind_of_field_is_generated() -> None:
    given = {"Mark": Mark, "Stroke": Line, "Colour": Literal["red", "blue"], "Part": Mark | Line}
    assert GENERATOR["typescript"]("Types.", given, {"COLOURS": ("red", "blue")}) == WANTED


@pytest.mark.parametrize("unknown", [dict[str, float], tuple[float, float], Any])
def test_an_unknown_kind_of_field_is_refused(unknown: Any) -> None:
    class Odd(Struct):
        field: unknown

    with pytest.raises(NotImplementedError):
        GENERATOR["typescript"]("", {"Odd": Odd}, {})
