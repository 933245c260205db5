"""The options of every `splitline` command and their help.

A command is a function here and a module of the same name beside this one, with `run(chosen)`. They are separate so
that help appears at once: nothing imported here is slow to load, and a command's own module is loaded only when it
runs.
"""

import argparse
from pathlib import Path
from typing import TypeAlias, get_args

from splitline.chemistry.measurement import USUAL_FUEL_WATER, Liquid, ScaleKind
from splitline.commands.reading import not_negative, number

Commands: TypeAlias = "argparse._SubParsersAction[argparse.ArgumentParser]"

PART = "LITRES,CONTENT[,U]"
RUN_COLUMNS = ("water", "fuel", "line", "percent", "top")
VISIT_COLUMNS = ("source", "sampled_at", "content", "expanded_uncertainty", "contributor")
SECRET = "intake-secret"


def add_commands(parser: argparse.ArgumentParser) -> None:
    """Add every command; `command` is the name of the chosen one."""
    commands = parser.add_subparsers(metavar="COMMAND", dest="command", required=True)
    for add in (serve, content, blend, steadiness, intake, export, review, refresh, backup, restore):
        add(commands)


def serve(commands: Commands) -> None:
    """Add `splitline serve`; each option can also be set as SPLITLINE_..."""
    parser = commands.add_parser(
        "serve",
        help="serve the field app and the API",
        description="Serve the field app and the API. Each option can also be set in the environment, as SPLITLINE_...",
    )
    add = parser.add_argument
    add("--host", help="address to listen on (127.0.0.1)")
    add("--port", help="port to listen on (8484)")
    _data(parser)
    _photos(parser)
    add("--workers", metavar="N", help="server processes; more than one needs PostgreSQL (1)")
    add("--exchange", metavar="FILE.json", help="your own table of exchange between the layers (built-in)")
    add("--demo", action="store_true", default=None, help="fill an empty database with invented data")
    add("--log", metavar="FORM", help="log format on standard error: text or json (text)")
    add("--tls-cert", metavar="FILE", help="certificate chain (PEM), to serve HTTPS without a proxy")
    add("--tls-key", metavar="FILE", help="its private key (PEM)")
    add("--requests-a-minute", metavar="N", help="requests per minute from one address (1200; 0: no limit)")
    add("--records-a-minute", metavar="N", help="records per minute with one secret; a picture counts as 10 (6000)")
    add(
        "--trusted-proxies",
        metavar="LIST",
        help="addresses or networks of proxies whose X-Forwarded-For is trusted, or none (127.0.0.1,::1)",
    )
    add(
        "--connections-per-address",
        metavar="N",
        help="open connections per address, except trusted proxies (100; 0: no limit)",
    )
    add("--header-bytes", metavar="N", help="maximum size of a request's headers, bytes (16384)")
    add("--header-seconds", metavar="N", help="seconds allowed for a request's headers to arrive (10)")
    add("--tiles", metavar="URL", help="map tiles, such as https://tiles.example.org/{z}/{x}/{y}.png (none)")
    add("--tiles-attribution", metavar="TEXT", help="who made the map, as its terms require; shown under it")
    add(
        "--operations",
        metavar="HOST:PORT",
        help="separate address for /healthz, /livez, /readyz and /metrics, such as 127.0.0.1:9090 (none)",
    )


def content(commands: Commands) -> None:
    """Add `splitline content`."""
    parser = commands.add_parser(
        "content",
        help="ethanol content and its uncertainty from one or more runs",
        description="Ethanol content and its uncertainty from one or more runs. Give the options of a run once "
        "per run; an option given once applies to all runs.",
    )
    for name, unit, what in (
        ("water", "ML", "water filled, mL"),
        ("fuel", "ML", "fuel filled, mL"),
        ("line", "ML", "reading of the parting line, mL"),
        ("percent", "P", "reading of the parting line on a percent scale"),
        ("top", "ML", "reading of the top of the fuel, mL"),
    ):
        parser.add_argument(f"--{name}", type=number, action="append", default=[], metavar=unit, help=what)
    columns = f"one run per row; columns {', '.join(RUN_COLUMNS)}"
    parser.add_argument("--runs", type=Path, metavar="FILE.csv", help=columns)
    _tube(parser)
    table = "your own table of exchange between the layers (see chemistry/README.md)"
    parser.add_argument("--exchange", type=Path, metavar="FILE.json", help=table)
    only = "count only this uncertainty component; repeatable"
    parser.add_argument("--only", action="append", metavar="COMPONENT", help=only)
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def _tube(parser: argparse.ArgumentParser) -> None:
    add = parser.add_argument
    guess = "of the tube when read, measured, degrees Celsius (default: 20, an estimate)"
    add("--temperature", type=number, metavar="C", help=guess)
    for name in ("water", "fuel"):
        filled = f"of the {name} when filled, measured (default: the other's, or --temperature)"
        add(f"--{name}-temperature", type=number, metavar="C", help=filled)
    usual = f"water in the fuel ({USUAL_FUEL_WATER})"
    add("--fuel-water", type=number, default=USUAL_FUEL_WATER, metavar="PCT", help=usual)
    kind = "kind of the tube's scale (volume; unknown with --percent)"
    add("--scale", choices=get_args(ScaleKind), help=kind)
    add("--liquid", choices=get_args(Liquid), default="water", help="liquid filled first (water)")
    step = "smallest step of the scale, mL or percent (1)"
    add("--graduation", type=number, default=1.0, metavar="ML", help=step)
    add("--tolerance", type=number, metavar="ML", help="tolerance of the tube's marks, if stated, mL")


def blend(commands: Commands) -> None:
    """Add `splitline blend`."""
    parser = commands.add_parser(
        "blend",
        help="tank, target, sensor and engine figures",
        description="What a tank holds, what to add to reach a target, the sensor's expected value, engine figures.",
    )
    add = parser.add_argument
    add("--tank", metavar=PART, default="0,0", help="what is in the tank; U at 95 %% (3)")
    add("--added", metavar=PART, action="append", default=[], help="what was added since; repeatable")
    add("--target", type=number, metavar="PCT", help="target ethanol content")
    add("--stock", metavar=PART, action="append", default=[], help="fuel available to add; repeatable")
    add("--capacity", type=number, metavar="L", help="capacity of the tank")
    add("--add", type=number, metavar="L", help="total to add, split between two stocks")
    add("--sensor-hz", type=number, metavar="HZ", help="frequency of the car's sensor, 50..150 Hz")
    add("--sensor", type=number, metavar="PCT", help="content shown by the car's sensor")
    add("--heel", action="store_true", help="work out from the sensor what was in the tank before --added")
    add("--json", action="store_true", help="print one JSON object")


def steadiness(commands: Commands) -> None:
    """Add `splitline steadiness`."""
    parser = commands.add_parser(
        "steadiness",
        help="how steady the sources in a CSV file of visits are",
        description="How steady each source in a CSV file of visits is, and what its next fill will hold.",
    )
    columns = ", ".join(VISIT_COLUMNS)
    parser.add_argument(
        "file",
        type=Path,
        metavar="FILE.csv",
        help=f"columns {columns} (95 %%, of the visit alone), optionally shared_uncertainty (standard)",
    )
    parser.add_argument(
        "--shared",
        type=not_negative,
        metavar="POINTS",
        help="standard uncertainty shared by all visits, if not in the file (guessed from it; 0: none)",
    )
    parser.add_argument("--json", action="store_true", help="print one JSON list")


def intake(commands: Commands) -> None:
    """Add `splitline intake`."""
    parser = commands.add_parser(
        "intake",
        help="check and store the records of a CSV or JSON Lines file",
        description="Check and store the records of a CSV or JSON Lines file; each gets the answer a phone would get.",
    )
    add = parser.add_argument
    add("file", type=Path, metavar="FILE", help="JSON Lines, or CSV with columns such as runs[0].line")
    add("--answers", type=Path, metavar="FILE", help="write the answer for each row, as JSON Lines")
    whose = f"secret of the records' contributor (a new {SECRET} in the data folder)"
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
    parser.add_argument("--output", type=Path, metavar="FILE", help="output file (standard output)")
    _data(parser)


def review(commands: Commands) -> None:
    """Add `splitline review`; `decision` is the name of the chosen decision, None for the list."""
    parser = commands.add_parser(
        "review",
        help="list what is waiting or looks odd; release and withhold records; merge sources",
        description="A moderator's decisions. Each is recorded with who made it, when and why.",
    )
    _data_and_json(parser, None)
    decisions = parser.add_subparsers(metavar="DECISION", dest="decision")
    _data_and_json(decisions.add_parser("list", help="list what is waiting (the default)"), argparse.SUPPRESS)
    odd = decisions.add_parser("odd", help="list what looks odd, even if it counts: bursts, loners, disagreement")
    person = decisions.add_parser("contributor", help="everything about one contributor")
    person.add_argument("id", metavar="ID", help="16 digits, as in the lists")
    for listing in (odd, person):
        listing.add_argument("--most", type=int, default=20, metavar="N", help="lines of each kind (20; 0: all)")
        _data_and_json(listing, argparse.SUPPRESS)
    for name, what in (
        ("release", "let a held or withheld record count; undo withhold"),
        ("withhold", "take a record and its later revisions out of lists and figures"),
    ):
        whose = "of a test, a source (its waiting change first), or a contributor (all records)"
        _decision(decisions, name, what).add_argument("id", metavar="ID", help=whose)
    merge = _decision(decisions, "merge", "merge one source into another")
    merge.add_argument("source", metavar="FROM", help="the source that leaves the lists")
    merge.add_argument("into", metavar="INTO", help="the source that takes its place")
    unmerge = _decision(decisions, "unmerge", "undo a merge")
    unmerge.add_argument("source", metavar="FROM", help="the source that left the lists")


def _decision(decisions: Commands, name: str, what: str) -> argparse.ArgumentParser:
    parser = decisions.add_parser(name, help=what)
    parser.add_argument(
        "--why", default="", metavar="TEXT", help="saved with the decision and shown to the contributor"
    )
    parser.add_argument("--by", metavar="NAME", help="who decides (the user of this computer)")
    _data_and_json(parser, argparse.SUPPRESS)
    return parser


def refresh(commands: Commands) -> None:
    """Add `splitline refresh`."""
    parser = commands.add_parser(
        "refresh",
        help="recompute all figures and report differences",
        description="Recompute all figures from the stored records, even while serving, and report differences.",
    )
    parser.add_argument("--check", action="store_true", help="only report differences; nobody can send meanwhile")
    _data_and_json(parser, None)


def backup(commands: Commands) -> None:
    """Add `splitline backup`."""
    parser = commands.add_parser(
        "backup",
        help="write everything into one file, even while serving",
        description="Write the database and the pictures into one zip file, even while serving.",
    )
    parser.add_argument("file", type=Path, metavar="FILE", help="new file, such as 2026-04-01.zip")
    parser.add_argument("--without-photos", action="store_true", help="leave the pictures where they are")
    _data(parser)
    _photos(parser)


def restore(commands: Commands) -> None:
    """Add `splitline restore`."""
    parser = commands.add_parser(
        "restore",
        help="restore a backup into an empty place",
        description="Restore a backup into an empty database, SQLite or PostgreSQL, and an empty picture store.",
    )
    parser.add_argument("file", type=Path, metavar="FILE", help="a file written by splitline backup")
    _data(parser)
    _photos(parser)


def _data(parser: argparse.ArgumentParser, default: object = None) -> None:
    add = parser.add_argument
    add("--data", metavar="DIR", default=default, help="folder of the database and the pictures (data)")
    add("--database", metavar="URL", default=default, help="sqlite:///FILE or postgresql://... (in the data folder)")


def _data_and_json(parser: argparse.ArgumentParser, default: object) -> None:
    """Options of a command and its decisions: SUPPRESS keeps a decision's default from hiding the command's option."""
    _data(parser, default)
    parser.add_argument("--json", action="store_true", default=default or False, help="print one JSON object")


def _photos(parser: argparse.ArgumentParser) -> None:
    what = "a folder, or an object store such as s3://... (in the data folder)"
    parser.add_argument("--photos", metavar="URL", help=what)
