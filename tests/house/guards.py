"""The rules of the repository as functions: each returns one sentence per breach.

`tree` maps each path that git tracks, with forward slashes, to its text.
"""

import json
import re
import sys
from collections.abc import Iterable, Mapping

from house.rooms import server_imports, server_room

TOP_LEVEL = {"README.md", "DEVELOPERS.md", "pyproject.toml", "server", "pwa", "tests", "fixtures"}
LONGEST = 300
GENERATED = ("pwa/src/records.ts",)
SOURCE = (".py", ".ts", ".tsx", ".mjs", ".js", ".css", ".html")

GUIDE = "DEVELOPERS.md"
LARGEST_GUIDE = 11_000
FENCED = re.compile(r"^```sh$(.*?)^```$", re.DOTALL | re.MULTILINE)
QUOTED = re.compile(r"(?<!`)`([^`\n]+)`(?!`)")
LINKED = re.compile(r"\]\(([^)#]+)")
# Something with a slash, or with a file ending used in the repository.
PATH = re.compile(r"[\w.*-]+(?:/[\w.*-]+)+/?|[\w-]+/|[\w-]+\.(?:py|tsx?|mjs|json|md|toml|css|html)")
# Built or installed, so git does not have them.
MADE = (".venv/", "node_modules/", "tests/pictures/")

# Assembled from pieces, so that this file does not contain what it looks for.
FORBIDDEN = {
    "a registry's host name": ["npm" + "js.", "py" + "pi.org", "python" + "hosted.", "deb" + "ian.org"],
    "a path of a development machine": ["/wo" + "rk/", "/ro" + "ot/", "/ho" + "me/", "/Us" + "ers/", "/opt/py" + "pi"],
    "a word about how the project is made": ["tran" + "script"],
}

SCIENCE = {"chemistry", "statistics"}
SCIENCE_MAY_IMPORT = {*sys.stdlib_module_names, "numpy"}
NO_SCIENCE = {"random", "secrets", "time", "os", "socket", "subprocess", "urllib", "http", "asyncio", "threading"}
SQL = {"sqlalchemy", "alembic", "aiosqlite", "asyncpg", "sqlite3"}


def strangers_at_the_top(paths: Iterable[str]) -> list[str]:
    """The top level has exactly the planned names, and dot files."""
    top = {path.split("/")[0] for path in paths}
    strange = [f"{name} is not in the plan of the house" for name in sorted(top - TOP_LEVEL) if name[0] != "."]
    return strange + [f"{name} is missing" for name in sorted(TOP_LEVEL - top)]


def too_long(tree: Mapping[str, str]) -> list[str]:
    """No source file is too long to read in one sitting."""
    lengths = {path: text.count("\n") for path, text in tree.items() if path.endswith(SOURCE) and path not in GENERATED}
    return [f"{path} has {lines} lines" for path, lines in lengths.items() if lines > LONGEST]


def forbidden_words(tree: Mapping[str, str]) -> list[str]:
    """No file names a registry's host or a development machine."""
    return [
        f"{path}: {what}, {word!r}"
        for path, text in tree.items()
        for what, words in FORBIDDEN.items()
        for word in words
        if word in text
    ]


def guide_too_long(tree: Mapping[str, str]) -> list[str]:
    """The developers' guide takes ten minutes to read."""
    size = len(tree.get(GUIDE, "").encode())
    return [f"{GUIDE} has {size} bytes"] if size > LARGEST_GUIDE else []


def lost_paths(tree: Mapping[str, str]) -> list[str]:
    """Every file or folder that the developers' guide names or links to is in the repository."""
    text = tree.get(GUIDE, "")
    commands = [word for block in FENCED.findall(text) for word in block.split()]
    named = dict.fromkeys([*commands, *QUOTED.findall(FENCED.sub("", text)), *LINKED.findall(text)])
    folded = [f"/{path}/" for path in tree]
    return [
        f"{GUIDE} names {path}, which is not there"
        for path in named
        if PATH.fullmatch(path)
        and not path.startswith(MADE)
        and not any(f"/{path.rstrip('/')}/" in one for one in folded)
    ]


def recorded_addresses(lock: str) -> list[str]:
    """The lock file states what to install, not from where."""
    packages = json.loads(lock)["packages"]
    return [
        f"{folder} is to come from {package['resolved']}"
        for folder, package in packages.items()
        if "resolved" in package
    ]


def impure_science(tree: Mapping[str, str]) -> list[str]:
    """The science imports numpy, itself, errors and the standard library, without clocks, randomness and I/O."""
    outside = SCIENCE_MAY_IMPORT - NO_SCIENCE
    return [
        f"{path} imports {imported}"
        for path, room, imported in server_imports(tree)
        if room in SCIENCE and server_room(imported) not in {room, "errors"} and imported.split(".")[0] not in outside
    ]


def sql_outside_the_store(tree: Mapping[str, str]) -> list[str]:
    """Only the store uses SQL."""
    return [
        f"{path} imports {imported}"
        for path, room, imported in server_imports(tree)
        if imported.split(".")[0] in SQL and room != "store"
    ]


# The service worker fetches what it caches.
# update.ts is the way out if the worker is stuck: it asks the server and clears the caches from the page.
PLACES = {
    "IndexedDB": (re.compile(r"\bindexedDB\b|from \"idb\""), ("pwa/src/store/",)),
    "the network": (
        re.compile(r"\bfetch\(|\bXMLHttpRequest\b|\bsendBeacon\b"),
        ("pwa/src/sync/", "pwa/src/worker.ts", "pwa/src/shell/update.ts"),
    ),
    "the caches": (re.compile(r"\bcaches\."), ("pwa/src/worker.ts", "pwa/src/shell/update.ts")),
}


def out_of_place(tree: Mapping[str, str]) -> list[str]:
    """In the app one room uses the database, one the network and one the caches."""
    return [
        f"{path} touches {what}"
        for path, text in tree.items()
        for what, (pattern, places) in PLACES.items()
        if path.startswith("pwa/src/") and not path.startswith(places) and pattern.search(without_comments(text))
    ]


def without_comments(typescript: str) -> str:
    """TypeScript without its comments, roughly: strings with comment signs are cut."""
    return re.sub(r"/\*.*?\*/|//[^\n]*", "", typescript, flags=re.DOTALL)
