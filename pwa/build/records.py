"""Generates pwa/src/records.ts, the types that phone and server exchange, from the server's Structs.

python pwa/build/records.py
"""

import json
from collections.abc import Mapping
from inspect import cleandoc
from pathlib import Path
from typing import Any, get_args

import msgspec

from splitline import answers, records
from splitline.api import outlines, shapes
from splitline.checking.wording import Report
from splitline.chemistry import measurement
from splitline.feed import SourceChange, TestChange

TARGET = Path(__file__).parents[1] / "src" / "records.ts"
# The types the app imports, by its name for them; the types they contain are added under their own names.
EXPORTED: dict[str, Any] = {
    "Scale": measurement.ScaleKind,
    "Liquid": measurement.Liquid,
    "Sampled": records.Sampled,
    "Source": records.Source,
    "Test": records.Test,
    "Retraction": records.Retraction,
    "Problem": Report,
    "AnswerStatus": answers.Status,
    "Pushed": shapes.Pushed,
    "Change": SourceChange | TestChange,
    "Pulled": shapes.Pulled,
    "OwnTubes": shapes.OwnTubes,
    "OwnRecords": shapes.OwnRecords,
    "Contributors": shapes.Contributors,
    "RegionEntries": shapes.RegionEntries,
    "RegionOutline": outlines.RegionOutline,
    "Health": shapes.Health,
}
# What the app offers or knows by name, in this order.
LISTED: dict[str, tuple[str, ...]] = {
    "SCALES": get_args(measurement.ScaleKind),
    "BRINE_SCALES": measurement.BRINE_SCALES,
    "LIQUIDS": get_args(measurement.Liquid),
}
UNITS = str(records.__doc__).partition("\n\n")[2]
HEAD = f"""\
What phone and server exchange, generated from the server's Structs: change these, and run pwa/build/records.py.

{UNITS}
A field with a question mark came later: records from before it lack it, and then its default holds.
"""

Schema = Mapping[str, Any]


def typescript(head: str, exported: Mapping[str, Any], listed: Mapping[str, tuple[str, ...]]) -> str:
    """Return a TypeScript file with the given types and lists. head: its comment."""
    schemas, components = msgspec.json.schema_components(exported.values(), ref_template="{name}")
    wanted = dict(zip(exported, schemas, strict=True))
    structs = {schema["$ref"]: name for name, schema in wanted.items() if "$ref" in schema}
    choices = {_type(schema, structs): name for name, schema in wanted.items() if "$ref" not in schema}
    aliases = [f"export type {name} = {text};\n" for text, name in choices.items()]
    names = structs | choices
    interfaces = [_interface(names.get(name, name), schema, names) for name, schema in components.items()]
    lists = [f"export const {name} = {json.dumps(values)} as const;\n" for name, values in listed.items()]
    return "\n".join([_comment(head), *lists, *aliases, *interfaces])


def _interface(name: str, schema: Schema, names: Mapping[str, str]) -> str:
    """Return the interface for a Struct. A field with a default is always sent, except those added later."""
    lines = [f"{_comment(schema.get('description', ''))}export interface {name} {{\n"]
    for field, part in schema["properties"].items():
        later = "x-later" in part
        said = [one["description"] for one in (part, *part.get("anyOf", ())) if "description" in one]
        said += [f"where it is missing: {json.dumps(part['default'])}"] if later else []
        lines.append(f"{_comment(', '.join(said), '  ')}  {field}{'?' if later else ''}: {_type(part, names)};\n")
    return "".join([*lines, "}\n"])


def _type(schema: Schema, names: Mapping[str, str]) -> str:
    """Return the type for a schema from msgspec: a reference, a choice, or a kind of JSON value."""
    match schema:
        case {"$ref": name}:
            text = name
        case {"enum": values}:
            text = " | ".join(map(json.dumps, values))
        case {"anyOf": parts}:
            text = " | ".join(_type(part, names) for part in parts)
        case {"type": "array", "items": item}:
            inner = _type(item, names)
            text = f"({inner})[]" if " " in inner else f"{inner}[]"
        case {"type": "integer" | "number"}:
            text = "number"
        case {"type": "string" | "boolean" | "null" as text}:
            pass
        case _:
            raise NotImplementedError(f"no type is known for {schema}")
    return names.get(text, text)


def _comment(text: str, indent: str = "") -> str:
    """Return a text as a comment, or nothing if it is empty."""
    lines = cleandoc(text).splitlines()
    if len(lines) > 1:
        return "".join(f"{indent}{line}".rstrip() + "\n" for line in ["/**", *(f" * {line}" for line in lines), " */"])
    return f"{indent}/** {lines[0]} */\n" if lines else ""


if __name__ == "__main__":
    TARGET.write_text(typescript(HEAD, EXPORTED, LISTED), encoding="utf-8", newline="\n")
