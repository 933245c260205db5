"""Which room may import which: imports of server and app point one way, and nothing imports itself.

A room is a folder or a loose module beneath `server/splitline` or `pwa/src`; each screen is a room of its own.
`tree` maps each path that git tracks, with forward slashes, to its text.
"""

import ast
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from posixpath import dirname, normpath

# From the bottom up: a room imports only from layers below it.
SERVER = (
    {"errors", "__init__"},
    {"chemistry", "statistics", "position", "identity", "perceptual_hash", "regions", "logs", "tiles"},
    {"records"},
    {"checking", "store", "public", "exchange_table"},
    {"answers", "config", "feed", "figures"},
    {"intake"},
    {"photos", "moderation", "demo"},
    {"archive"},
    {"api"},
    {"app"},
    {"serving"},
    {"commands"},
    {"cli"},
    {"__main__"},
)
APP = (
    {"errors", "records", "ids", "geo"},
    {"identity", "chemistry", "statistics"},
    {"checking", "rows"},
    {"model"},
    {"compute", "i18n"},
    {"store"},
    {"state"},
    {"sync", "files"},
    {"widgets"},
    {"screens/shared"},
    {"screens/test", "screens/sources", "screens/fuel", "screens/log", "screens/tubes"},
    {"shell"},
    {"main", "worker"},
)
# The module in a TypeScript import, including dynamic imports.
NAMED = re.compile(r"(?:\bfrom|\bimport)\s*\(?\s*\"((?:\.{1,2}|@)(?:/[^\"]*)?)\"")
LOADED_LATER = re.compile(r"\bimport\(\s*\"[^\"]*\"\s*\)")


def arrows_the_wrong_way(tree: Mapping[str, str]) -> list[str]:
    """Imports between the rooms of the server, and of the app, go down the layers, and every room has a layer."""
    server = between((room, other) for _, room, name in server_imports(tree) if (other := server_room(name)))
    app = between((app_room(path), app_room(other)) for path, others in app_imports(tree).items() for other in others)
    return [*upward(server, SERVER), *upward(app, APP)]


def circles_of_files(tree: Mapping[str, str]) -> list[str]:
    """No file of the app imports itself through others; dynamic imports do not count."""
    files = app_imports({path: LOADED_LATER.sub("", text) for path, text in tree.items()})
    return [f"{path} imports itself by way of others" for path in sorted(files) if path in reachable(path, files)]


def between(arrows: Iterable[tuple[str, str]]) -> dict[str, set[str]]:
    """The other rooms that each room imports."""
    direct: defaultdict[str, set[str]] = defaultdict(set)
    for room, other in arrows:
        if room != other:
            direct[room].add(other)
    return direct


def upward(direct: Mapping[str, set[str]], layers: tuple[set[str], ...]) -> list[str]:
    """One sentence for each import upwards or sideways, and for each room without a layer."""
    level = {room: height for height, rooms in enumerate(layers) for room in rooms}
    rooms = sorted({*direct, *(other for others in direct.values() for other in others)})
    return [f"{room} has no layer" for room in rooms if room not in level] + [
        f"{room} imports {other}, which stands beside or above it"
        for room in sorted(direct)
        for other in sorted(direct[room])
        if room in level and other in level and level[other] >= level[room]
    ]


def reachable(start: str, direct: Mapping[str, set[str]]) -> set[str]:
    """All files reachable by imports from a start, including itself if there is a circle."""
    reached: set[str] = set()
    waiting = [start]
    while waiting:
        new = direct.get(waiting.pop(), set()) - reached
        reached |= new
        waiting += new
    return reached


def imports(source: str, module: str, is_package: bool) -> Iterator[str]:
    """Every module that a Python file imports, with relative names made absolute."""
    home = module.split(".") if is_package else module.split(".")[:-1]
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            start = home[: len(home) - node.level + 1] if node.level else []
            origin = ".".join([*start, *([node.module] if node.module else [])])
            yield from ((f"{origin}.{alias.name}" if origin == "splitline" else origin) for alias in node.names)


def server_modules(tree: Mapping[str, str]) -> Iterator[tuple[str, str, str]]:
    """Path, room and full name of every module of the server."""
    for path in tree:
        if path.startswith("server/splitline/") and path.endswith(".py"):
            parts = path.removeprefix("server/").removesuffix(".py").split("/")
            yield path, parts[1], ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def server_room(imported: str) -> str:
    """The server room of an imported module; empty for a module from outside."""
    package, _, rest = imported.partition(".")
    return rest.split(".")[0].replace("__version__", "__init__") if package == "splitline" else ""


def server_imports(tree: Mapping[str, str]) -> Iterator[tuple[str, str, str]]:
    """Path, room and imported module, for every import in the server."""
    for path, room, module in server_modules(tree):
        for imported in imports(tree[path], module, path.endswith("__init__.py")):
            yield path, room, imported


def app_room(path: str) -> str:
    """The room of the app that a file is in."""
    parts = path.removeprefix("pwa/src/").rsplit(".", 1)[0].split("/")
    return "/".join(parts[:2]) if parts[0] == "screens" else parts[0]


def app_imports(tree: Mapping[str, str]) -> dict[str, set[str]]:
    """The app files that each app file imports."""
    files = {path for path in tree if path.startswith("pwa/src/") and path.endswith((".ts", ".tsx"))}
    return {
        path: {found for spoken in NAMED.findall(tree[path]) if (found := the_file(path, spoken, files))}
        for path in files
    }


def the_file(importer: str, spoken: str, files: set[str]) -> str | None:
    """The file that an app import names; None if it is not our TypeScript."""
    base = f"pwa/src/{spoken[2:]}" if spoken.startswith("@/") else normpath(f"{dirname(importer)}/{spoken}")
    endings = ("", ".ts", ".tsx", "/index.ts", "/index.tsx")
    return next((base + ending for ending in endings if base + ending in files), None)
