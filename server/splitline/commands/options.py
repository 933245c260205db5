"""What can be asked of `splitline`: the options of every command and their help.

A command is a function here and a module of the same name beside this one, with `run(chosen)`. They are apart because
help has to appear at once: nothing that this module imports is slow to load, and a command's own module is loaded only
when it runs.
"""

import argparse
from pathlib import Path
from typing import TypeAlias

from splitline.chemistry.measurement import USUAL_FUEL_WATER
from splitline.commands.reading import not_negative, number

Commands: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"

PART = "LITRES,CONTENT[,U]"
RUN_COLUMNS = ("water", "fuel", "line", "percent", "top")
VISIT_COLUMNS = ("source", "sampled_at", "content", "expanded_uncertainty", "contributor")
SECRET = "intake-secret"


def add_commands(parser: argparse.ArgumentParser) -> None:
    """Add every command; the name of the chosen one becomes `command`."""
    commands = parser.add_subparsers(metavar="COMMAND", dest="command", required=True)
    for add in (serve, content, blend, steadiness, intake, export, review, refresh, backup, restore):
        add(commands)


def serve(commands: Commands) -> None:
    """Add `splitline serve`; each option can be set as SPLITLINE_... too."""
    parser = commands.add_parser(
        "serve",
        help="serve the field app and the API",
        description="Serve the field app and the API. Each option can be set as SPLITLINE_... in the environment too.",
    )
    add = parser.add_argument
    add("--host", help="address to listen on (127.0.0.1)")
    add("--port", help="port to listen on (8484)")
    _data(parser)
    _photos(parser)
    add("--workers", metavar="N", help="server processes; more than one need PostgreSQL (1)")
    add("--exchange", metavar="FILE.json", help="a table of your own of what the layers exchange (the built-in one)")
    add("--demo", action="store_true", default=None, help="fill an empty database with invented data")
    add("--log", metavar="FORM", help="form of the log on standard error: text or json (text)")
    add("--tls-cert", metavar="FILE", help="certificate chain (PEM), to serve https without a proxy")
    add("--tls-key", metavar="FILE", help="its private key (PEM)")
    add("--requests-a-minute", metavar="N", help="requests a minute from one address (1200; 0: no limit)")
    add("--records-a-minute", metavar="N", help="records a minute with one secret; a picture counts as 10 (6000)")
    add(
        "--trusted-proxies",
        metavar="LIST",
        help="addresses or networks of proxies whose X-Forwarded-For is taken, or none (127.0.0.1,::1)",
    )
    add(
        "--connections-per-address",
        metavar="N",
        help="connections at a time from one address that is no trusted proxy (100; 0: no limit)",
    )
    add("--header-bytes", metavar="N", help="size of a request's headers at most (16384)")
    add("--header-seconds", metavar="N", help="until a request's headers are complete at most (10)")
    add("--tiles", metavar="URL", help="map pictures, such as https://tiles.example.org/{z}/{x}/{y}.png (none)")
    add("--tiles-attribution", metavar="TEXT", help="who made the map, as its terms ask; shown under it")
    add(
        "--operations",
        metavar="HOST:PORT",
        help="another address to answer /healthz, /livez, /readyz and /metrics on, such as 127.0.0.1:9090 (none)",
    )


def content(commands: Commands) -> None:
    """Add `splitline content`."""
    parser = commands.add_parser(
        "content",
        help="ethanol content and its uncertainty from one or more runs",
        description="Ethanol content and its uncertainty from one or more runs. Give the options of a run once for "
        "each run; an option given once counts for all runs.",
    )
    for name, unit, what in (
        ("water", "ML", "water filled, mL"),
        ("fuel", "ML", "fuel filled, mL"),
        ("line", "ML", "where the parting line stands, mL"),
        ("percent", "P", "where the parting line stands on a percent scale"),
        ("top", "ML", "where the top of the fuel stands, mL"),
    ):
        parser.add_argument(f"--{name}", type=number, action="append", default=[], metavar=unit, help=what)
    columns = f"one run a row; columns {', '.join(RUN_COLUMNS)}"
    parser.add_argument("--runs", type=Path, metavar="FILE.csv", help=columns)
    _tube(parser)
    table = "what the layers exchange, a table of your own (see chemistry/README.md)"
    parser.add_argument("--exchange", type=Path, metavar="FILE.json", help=table)
    only = "count only this component of uncertainty; repeatable"
    parser.add_argument("--only", action="append", metavar="COMPONENT", help=only)
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def _tube(parser: argparse.ArgumentParser) -> None:
    add = parser.add_argument
    guess = "measured in the tube when read, degrees Celsius (left out: 20, as a guess)"
    add("--temperature", type=number, metavar="C", help=guess)
    for name in ("water", "fuel"):
        filled = f"of the {name} when filled, measured (left out: as the other's, or as --temperature)"
        add(f"--{name}-temperature", type=number, metavar="C", help=filled)
    usual = f"water in the fuel ({USUAL_FUEL_WATER})"
    add("--fuel-water", type=number, default=USUAL_FUEL_WATER, metavar="PCT", help=usual)
    add(
        "--scale",
        choices=["volume", "linear", "corrected", "unknown"],
        help="kind of the tube's scale (volume; with --percent unknown)",
    )
    add("--liquid", choices=["water", "brine"], default="water", help="what is filled first (water)")
    step = "smallest step of the scale, mL or percent (1)"
    add("--graduation", type=number, default=1.0, metavar="ML", help=step)
    add("--tolerance", type=number, metavar="ML", help="limit of error of the tube's marks, if stated, mL")


def blend(commands: Commands) -> None:
    """Add `splitline blend`."""
    parser = commands.add_parser(
        "blend",
        help="tank, target, sensor and engine figures",
        description="What a tank holds, what to add to reach a target, what the sensor should show, engine figures.",
    )
    add = parser.add_argument
    add("--tank", metavar=PART, default="0,0", help="what is in the tank; U at 95 %% (3)")
    add("--added", metavar=PART, action="append", default=[], help="what went in since; repeatable")
    add("--target", type=number, metavar="PCT", help="content to reach")
    add("--stock", metavar=PART, action="append", default=[], help="what can be added; repeatable")
    add("--capacity", type=number, metavar="L", help="what the tank holds when full")
    add("--add", type=number, metavar="L", help="split this addition between two stocks")
    add("--sensor-hz", type=number, metavar="HZ", help="frequency of the car's sensor, 50..150 Hz")
    add("--sensor", type=number, metavar="PCT", help="content the car's sensor shows")
    add("--heel", action="store_true", help="from the sensor, what was in the tank before --added")
    add("--json", action="store_true", help="print one JSON object")


def steadiness(commands: Commands) -> None:
    """Add `splitline steadiness`."""
    parser = commands.add_parser(
        "steadiness",
        help="how steady the sources of a CSV file of visits are",
        description="How steady each source of a CSV file of visits is, and what its next fill holds.",
    )
    columns = ", ".join(VISIT_COLUMNS)
    parser.add_argument(
        "file",
        type=Path,
        metavar="FILE.csv",
        help=f"columns {columns} (95 %%, of the visit's own scatter), optionally shared_uncertainty (standard)",
    )
    parser.add_argument(
        "--shared",
        type=not_negative,
        metavar="POINTS",
        help="standard uncertainty that all visits share, where the file has none (0.7, a guess; 0: nothing)",
    )
    parser.add_argument("--json", action="store_true", help="print one JSON list")


def intake(commands: Commands) -> None:
    """Add `splitline intake`."""
    parser = commands.add_parser(
        "intake",
        help="check and store the records of a CSV or JSON Lines file",
        description="Check and store the records of a CSV or JSON Lines file; each is answered as those of phones are.",
    )
    add = parser.add_argument
    add("file", type=Path, metavar="FILE", help="JSON Lines, or CSV with columns such as runs[0].line")
    add("--answers", type=Path, metavar="FILE", help="write the answer to each row, as JSON Lines")
    whose = f"whose records these are (a new {SECRET} in the data folder)"
    add("--secret-file", type=Path, metavar="FILE", help=whose)
    add("--json", action="store_true", help="print one JSON object")
    _data(parser)


def export(commands: Commands) -> None:
    """Add `splitline export`."""
    parser = commands.add_parser(
        "export",
        help="write the public dataset of a region",
        description="Write the public dataset of a region, under CC0-1.0.",
    )
    parser.add_argument("region", metavar="REGION", help="ISO 3166-2 code, such as FR-63")
    parser.add_argument(
        "--format",
        choices=("csv", "geojson", "package"),
        default="csv",
        help="readings, sources, or both in a zip with a descriptor (csv)",
    )
    parser.add_argument("--output", type=Path, metavar="FILE", help="where to write it (standard output)")
    _data(parser)


def review(commands: Commands) -> None:
    """Add `splitline review`; the name of the chosen decision becomes `decision`, None for the list."""
    parser = commands.add_parser(
        "review",
        help="what waits or looks odd; release and withhold records; merge sources",
        description="A moderator's decisions. Each is kept with who made it, when and why.",
    )
    _data_and_json(parser, None)
    decisions = parser.add_subparsers(metavar="DECISION", dest="decision")
    _data_and_json(decisions.add_parser("list", help="what waits (without a decision, too)"), argparse.SUPPRESS)
    odd = decisions.add_parser("odd", help="what looks odd, even where it counts: bursts, loners, disagreement")
    person = decisions.add_parser("contributor", help="everything about one contributor")
    person.add_argument("id", metavar="ID", help="16 digits, as in the lists")
    for listing in (odd, person):
        listing.add_argument("--most", type=int, default=20, metavar="N", help="lines of each kind (20; 0: all)")
        _data_and_json(listing, argparse.SUPPRESS)
    for name, what in (
        ("release", "let a held or withheld record count; undo withhold"),
        ("withhold", "take a record out of lists and figures, its later revisions too"),
    ):
        whose = "of a test, a source (first its change that waits), or a contributor (all records)"
        _decision(decisions, name, what).add_argument("id", metavar="ID", help=whose)
    merge = _decision(decisions, "merge", "let one source stand for another")
    merge.add_argument("source", metavar="FROM", help="the source that leaves the lists")
    merge.add_argument("into", metavar="INTO", help="the source that stands for it from now on")
    unmerge = _decision(decisions, "unmerge", "undo a merge")
    unmerge.add_argument("source", metavar="FROM", help="the source that left the lists")


def _decision(decisions: Commands, name: str, what: str) -> argparse.ArgumentParser:
    parser = decisions.add_parser(name, help=what)
    parser.add_argument("--why", default="", metavar="TEXT", help="kept with the decision, told to the contributor")
    parser.add_argument("--by", metavar="NAME", help="who decides (the user of this computer)")
    _data_and_json(parser, argparse.SUPPRESS)
    return parser


def refresh(commands: Commands) -> None:
    """Add `splitline refresh`."""
    parser = commands.add_parser(
        "refresh",
        help="compute all figures anew and say what differed",
        description="Compute all figures anew from the stored records, also while serving, and say what differed.",
    )
    parser.add_argument("--check", action="store_true", help="only say what differs; nobody can send meanwhile")
    _data_and_json(parser, None)


def backup(commands: Commands) -> None:
    """Add `splitline backup`."""
    parser = commands.add_parser(
        "backup",
        help="write everything into one file, also while serving",
        description="Write the database and the pictures into one zip file, also while serving.",
    )
    parser.add_argument("file", type=Path, metavar="FILE", help="the new file, such as 2026-04-01.zip")
    parser.add_argument("--without-photos", action="store_true", help="leave the pictures where they are")
    _data(parser)
    _photos(parser)


def restore(commands: Commands) -> None:
    """Add `splitline restore`."""
    parser = commands.add_parser(
        "restore",
        help="put a backup into an empty place",
        description="Put a backup into an empty database, SQLite or PostgreSQL, and an empty place for the pictures.",
    )
    parser.add_argument("file", type=Path, metavar="FILE", help="what splitline backup has written")
    _data(parser)
    _photos(parser)


def _data(parser: argparse.ArgumentParser, default: object = None) -> None:
    add = parser.add_argument
    add("--data", metavar="DIR", default=default, help="folder of the database and the pictures (data)")
    add("--database", metavar="URL", default=default, help="sqlite:///FILE or postgresql://... (in the data folder)")


def _data_and_json(parser: argparse.ArgumentParser, default: object) -> None:
    """Options of a command and of its decisions: SUPPRESS leaves a decision from undoing what the command was given."""
    _data(parser, default)
    parser.add_argument("--json", action="store_true", default=default or False, help="print one JSON object")


def _photos(parser: argparse.ArgumentParser) -> None:
    what = "a folder, or an object store such as s3://... (data folder)"
    parser.add_argument("--photos", metavar="URL", help=what)
