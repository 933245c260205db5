"""No mutable module state: what changes while a program runs belongs to an object and is passed in.

All importers share a module-level variable: a test finds what the previous one left there, and a function's arguments
do not show what it depends on. `tree` is the repository as git tracks it: path -> text.
"""

import ast
import re
from collections.abc import Iterator, Mapping

from house.rooms import app_imports, server_modules

WHY = {
    (
        "pwa/src/i18n/index.ts",
        "labels",
    ): "a live binding: a text costs no call where it is said, and is said in hundreds of places",
    ("pwa/src/i18n/index.ts", "language"): "the language that labels is in",
    ("pwa/src/i18n/index.ts", "inFull"): "how much of labels was asked for",
    ("pwa/src/i18n/index.ts", "isWhole"): "how much of labels is there",
    ("pwa/src/store/open.ts", "handle"): "a page has one IndexedDB, itself a global; nobody else holds its connection",
    ("pwa/src/store/open.ts", "trouble"): "what that connection meets; state stands above the store",
    ("pwa/src/store/changes.ts", "listeners"): "who is told what was written there, in this tab as in the others",
    ("pwa/src/store/changes.ts", "channel"): "the browser's own way to the other tabs",
    ("pwa/src/worker.ts", "precache"): "the worker of the whole origin: the caches it keeps are global too",
    ("server/splitline/checking/form.py", "_fields"): "keyed by our own Structs, of which there are a few dozen",
    ("server/splitline/statistics/normal.py", "quantile"): "keyed by the probabilities that the code names",
    (
        "server/splitline/store/pull_page.py",
        "_outline",
    ): "keyed by the number of regions asked for, a few hundred",
    ("server/splitline/store/pull_page.py", "_page"): "keyed by the number of regions asked for, a few hundred",
}
"""Exceptions: file and name, and the reason."""

# The only place for view state; its first lines say why.
VIEW_STATE = "pwa/src/state/signals.ts"

SETTABLE = re.compile(r"^(?:export )?(?:let|var) (\w+)", re.MULTILINE)
SIGNAL = re.compile(r"^(?:export )?const (\w+)(?:: [^=]+)? = signal\b", re.MULTILINE)
# Allows type arguments of any form before the call's parenthesis.
MADE = re.compile(r"^(?:export )?const (\w+)(?:: [^=]+)? = (?:.* \? .* : )?new ([\w.]+)[^;\n]*;$", re.MULTILINE)
LITERAL = re.compile(r"^(?:export )?const (\w+)(?:: [^=]+)? = [\[{]", re.MULTILINE)
COLLECTIONS = {"Map", "Set", "WeakMap", "WeakSet", "Array"}
UNCHANGING = {"Date", "RegExp", "TextEncoder", "TextDecoder", "URL"}
CHANGES = (
    r"\.(?:set|add|delete|clear|push|pop|shift|unshift|splice|sort|reverse|fill|copyWithin)\("
    r"|(?:\[[^\]\n]+\]|\.\w+)+ *(?:[-+*/|&?]{0,2}=(?![=>])|\+\+|--)"
)

PYTHON_COLLECTIONS = {"dict", "list", "set", "bytearray", "defaultdict", "deque", "Counter", "OrderedDict"}
PYTHON_CHANGES = {
    *("append", "appendleft", "extend", "insert", "pop", "popleft", "popitem", "remove", "clear", "sort", "reverse"),
    *("add", "discard", "update", "setdefault", "difference_update", "intersection_update"),
}


def modules_that_remember(tree: Mapping[str, str]) -> list[str]:
    """No module of app or server has mutable state, except as listed above with a reason."""
    found = [*app_memory(tree), *server_memory(tree)]
    return [f"{path} remembers in {name}" for path, name in found if (path, name) not in WHY and path != VIEW_STATE]


def exceptions_for_nothing(tree: Mapping[str, str]) -> list[str]:
    """Every exception is needed."""
    found = {*app_memory(tree), *server_memory(tree)}
    return [f"{path} remembers nothing in {name}" for path, name in WHY if (path, name) not in found]


def app_memory(tree: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """File and name of every module-level variable of the app that can be set, is a signal, or is written to."""
    importers = app_imports(tree)
    for path in importers:
        text = tree[path]
        yield from ((path, name) for pattern in (SETTABLE, SIGNAL) for name in pattern.findall(text))
        made = dict(MADE.findall(text))
        yield from ((path, name) for name, kind in made.items() if kind not in COLLECTIONS | UNCHANGING)
        readers = [tree[other] for other, others in importers.items() if path in others]
        collections = [*LITERAL.findall(text), *(name for name, kind in made.items() if kind in COLLECTIONS)]
        yield from ((path, name) for name in collections if is_changed(name, text, readers))


def is_changed(name: str, text: str, readers: list[str]) -> bool:
    """Whether a collection is written to: in its own file, or in one that imports it by this name."""
    writes = re.compile(rf"(?<![\w.]){name}(?:{CHANGES})|\bdelete {name}[.\[]")
    imported = re.compile(rf"^import \{{[^}}]*\b{name}\b(?! as)[^}}]*\}}", re.MULTILINE)
    return any(writes.search(one) for one in [text, *(one for one in readers if imported.search(one))])


def server_memory(tree: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """File and name of every collection of a module that is written to, global, and cache without a bound."""
    for path, _, _ in server_modules(tree):
        module = ast.parse(tree[path])
        yield from ((path, name) for node in ast.walk(module) if isinstance(node, ast.Global) for name in node.names)
        yield from (
            (path, node.name) for node in ast.walk(module) if isinstance(node, FUNCTIONS) and is_unbounded(node)
        )
        written = {name for node in ast.walk(module) if (name := written_to(node))}
        yield from ((path, name) for name in collections_of(module) if name in written)


FUNCTIONS = (ast.FunctionDef, ast.AsyncFunctionDef)


def is_unbounded(function: ast.FunctionDef | ast.AsyncFunctionDef) -> bool:
    """Whether a function has a cache without a bound, and arguments that make it grow."""
    takes = function.args.args or function.args.kwonlyargs or function.args.vararg
    return bool(takes) and any(
        ast.unparse(decorator).split(".")[-1] in {"cache", "lru_cache(maxsize=None)", "lru_cache(None)"}
        for decorator in function.decorator_list
    )


def collections_of(module: ast.Module) -> Iterator[str]:
    """The names of a module's dicts, lists and sets."""
    for node in module.body:
        targets = (
            node.targets if isinstance(node, ast.Assign) else [node.target] if isinstance(node, ast.AnnAssign) else []
        )
        value = node.value if isinstance(node, ast.Assign | ast.AnnAssign) else None
        is_made = isinstance(value, ast.Call) and ast.unparse(value.func).split(".")[-1] in PYTHON_COLLECTIONS
        if is_made or isinstance(value, ast.Dict | ast.List | ast.Set | ast.DictComp | ast.ListComp | ast.SetComp):
            yield from (target.id for target in targets if isinstance(target, ast.Name))


def written_to(node: ast.AST) -> str | None:
    """The name of the object that this statement or expression changes, if any."""
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr in PYTHON_CHANGES:
        target = node.func.value
    elif isinstance(node, ast.Subscript) and isinstance(node.ctx, ast.Store | ast.Del):
        target = node.value
    elif isinstance(node, ast.AugAssign):
        target = node.target
    else:
        return None
    return target.id if isinstance(target, ast.Name) else None
