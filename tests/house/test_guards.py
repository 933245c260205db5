"""The repository follows its rules, and each rule's guard finds a breach."""

import subprocess
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from house import guards, memory, rooms

TOP = Path(__file__).parents[2]


def git(*arguments: str) -> str:
    return subprocess.run(["git", *arguments], cwd=TOP, capture_output=True, text=True, check=True).stdout


@pytest.fixture(scope="module")
def paths() -> list[str]:
    return [path for path in git("ls-files", "-z").split("\0") if path and (TOP / path).exists()]


@pytest.fixture(scope="module")
def tree(paths: list[str]) -> dict[str, str]:
    contents = {path: (TOP / path).read_bytes() for path in paths}
    return {path: content.decode() for path, content in contents.items() if b"\0" not in content}


TREE_GUARDS = [
    guards.too_long,
    guards.forbidden_words,
    rooms.arrows_the_wrong_way,
    rooms.circles_of_files,
    guards.impure_science,
    guards.sql_outside_the_store,
    guards.out_of_place,
    guards.guide_too_long,
    guards.lost_paths,
    memory.modules_that_remember,
    memory.exceptions_for_nothing,
]


@pytest.mark.parametrize("guard", TREE_GUARDS, ids=lambda guard: guard.__name__)
def test_the_repository_keeps(guard: Callable[[Mapping[str, str]], list[str]], tree: dict[str, str]) -> None:
    assert len(tree) > 50
    assert guard(tree) == []


def test_the_top_level_is_as_planned(paths: list[str]) -> None:
    assert guards.strangers_at_the_top(paths) == []


def test_the_lock_file_records_no_addresses(tree: dict[str, str]) -> None:
    assert guards.recorded_addresses(tree["pwa/package-lock.json"]) == []


def test_commit_messages() -> None:
    messages = dict(line.split(" ", 1) for line in git("log", "--format=%h %B%x00").split("\0\n") if " " in line)
    assert messages
    assert guards.forbidden_words(messages) == []


BROKEN: list[tuple[Callable[[Mapping[str, str]], list[str]], dict[str, str], list[str]]] = [
    (guards.too_long, {"server/splitline/a.py": "\n" * 301}, ["server/splitline/a.py has 301 lines"]),
    (guards.too_long, {"server/splitline/a.py": "\n" * 300, "fixtures/a.json": "\n" * 999}, []),
    (
        guards.forbidden_words,
        {"README.md": "see " + "/wo" + "rk/main"},
        ["README.md: a path of a development machine, '/wo" + "rk/'"],
    ),
    (
        rooms.arrows_the_wrong_way,
        {"server/splitline/checking/form.py": "from splitline.intake import take"},
        ["checking imports intake, which stands beside or above it"],
    ),
    (
        rooms.arrows_the_wrong_way,
        {
            "server/splitline/store/a.py": "def f():\n    from ..checking import form",
            "server/splitline/checking/form.py": "",
        },
        ["store imports checking, which stands beside or above it"],
    ),
    (
        rooms.arrows_the_wrong_way,
        {
            "server/splitline/store/a.py": "from splitline import helper",
            "server/splitline/helper.py": "import splitline.api.push",
        },
        ["helper has no layer"],
    ),
    (
        rooms.arrows_the_wrong_way,
        {
            "pwa/src/screens/test/a.tsx": 'import { b } from "../log/b";\nlater(() => import("../../store/c"));',
            "pwa/src/screens/log/b.tsx": 'export { d } from "@/screens/shared/d";',
            "pwa/src/screens/shared/d.ts": "",
            "pwa/src/store/c.ts": 'import type { D } from "../screens/shared/d";',
        },
        [
            "screens/test imports screens/log, which stands beside or above it",
            "store imports screens/shared, which stands beside or above it",
        ],
    ),
    (
        rooms.circles_of_files,
        {
            "pwa/src/model/a.ts": 'import type { B } from "./b";',
            "pwa/src/model/b.ts": 'import { c } from "./c";',
            "pwa/src/model/c.ts": 'import type {\n  A,\n} from "./a";\nconst d = () => import("./d");',
            "pwa/src/model/d.ts": 'import "./c";',
        },
        [f"pwa/src/model/{name}.ts imports itself by way of others" for name in "abc"],
    ),
    (
        rooms.arrows_the_wrong_way,
        {"server/splitline/api/push.py": "from splitline.intake import take\nfrom splitline.api.pull import page"},
        [],
    ),
    (
        guards.impure_science,
        {"server/splitline/chemistry/a.py": "import math, numpy\nimport time\nfrom splitline.records import Run"},
        ["server/splitline/chemistry/a.py imports time", "server/splitline/chemistry/a.py imports splitline.records"],
    ),
    (
        guards.impure_science,
        {"server/splitline/statistics/a.py": "from splitline.errors import Problem\nfrom .a import b\nimport scipy"},
        ["server/splitline/statistics/a.py imports scipy"],
    ),
    (
        guards.sql_outside_the_store,
        {
            "server/splitline/api/a.py": "from sqlalchemy import select",
            "server/splitline/store/a.py": "import sqlalchemy",
        },
        ["server/splitline/api/a.py imports sqlalchemy"],
    ),
    (
        guards.out_of_place,
        {"pwa/src/screens/a.tsx": 'await fetch("/x")', "pwa/src/sync/a.ts": "fetch(x)", "pwa/src/b.ts": "// fetch(x)"},
        ["pwa/src/screens/a.tsx touches the network"],
    ),
    (guards.guide_too_long, {"DEVELOPERS.md": "é" * 5501}, ["DEVELOPERS.md has 11002 bytes"]),
    (guards.guide_too_long, {"DEVELOPERS.md": "é" * 5500}, []),
    (
        guards.lost_paths,
        {
            "DEVELOPERS.md": "`a/b.py`, `b.py`, `a/`, `a`, `a/c.py`, `d.ts` and `g/`, [it](e/f.md#g)\n"
            "```sh\n.venv/bin/python a/b.py h/i.py localhost:8484/api\n```\n",
            "a/b.py": "",
        },
        [f"DEVELOPERS.md names {path}, which is not there" for path in ("h/i.py", "a/c.py", "d.ts", "g/", "e/f.md")],
    ),
    (
        memory.modules_that_remember,
        {
            "pwa/src/store/a.ts": "export let last = 0;\nconst kept = new Map<string, Date>();\nkept.set(id, now);\n"
            "const shown = signal(false);\nexport const SEEN: string[] = [];\nexport const one = new Alarm(LOUD);\n"
            "const NAMES = { en: 1 };\nconst NONE = new Set<string>();\nconst DAY = new Date(0);\n"
            "function f() {\n  let found = 0;\n  return NAMES[found] === NONE.size;\n}\n",
            "pwa/src/sync/b.ts": 'import { NAMES, SEEN } from "../store/a";\nSEEN.push(NAMES.en);\nthis.kept.add(1);\n',
            "pwa/src/state/signals.ts": "export const path = signal([]);\n",
        },
        [f"pwa/src/store/a.ts remembers in {name}" for name in ("last", "shown", "one", "SEEN", "kept")],
    ),
    (
        memory.modules_that_remember,
        {
            "server/splitline/api/a.py": "seen = {}\ncount = 0\nNAMES = {'a': 1}\nORDER: list[str] = []\n"
            "def f(x):\n    global count\n    count += 1\n    seen[x] = NAMES[x]\n    ORDER.append(x)\n"
            "@cache\ndef g(x): ...\n@lru_cache(maxsize=None)\ndef h(x): ...\n"
            "@cache\ndef packaged(): ...\n@lru_cache(maxsize=8)\ndef few(x): ...\n",
        },
        [f"server/splitline/api/a.py remembers in {name}" for name in ("count", "g", "h", "seen", "ORDER")],
    ),
]


@pytest.mark.parametrize(("guard", "small", "expected"), BROKEN)
def test_each_guard_finds_a_deliberate_breach(
    guard: Callable[[Mapping[str, str]], list[str]], small: dict[str, str], expected: list[str]
) -> None:
    assert guard(small) == expected


def test_the_top_level_guard_finds_a_stranger() -> None:
    there = [*guards.TOP_LEVEL - {"fixtures"}, ".ci/run", "notes.txt"]
    assert guards.strangers_at_the_top(there) == ["notes.txt is not in the plan of the house", "fixtures is missing"]


def test_an_exception_is_for_something() -> None:
    held = memory.exceptions_for_nothing({"pwa/src/store/open.ts": "let handle = null;\nconst trouble = 1;\n"})
    assert "pwa/src/store/open.ts remembers nothing in trouble" in held
    assert "pwa/src/store/open.ts remembers nothing in handle" not in held


def test_the_lock_file_guard_finds_an_address() -> None:
    lock = '{"packages": {"": {}, "node_modules/a": {"resolved": "somewhere"}, "node_modules/b": {"version": "1.0.0"}}}'
    assert guards.recorded_addresses(lock) == ["node_modules/a is to come from somewhere"]
