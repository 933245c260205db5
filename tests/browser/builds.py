"""A later version of the app, built from its own source with a few later changes."""

import shutil
from pathlib import Path
from typing import Any

TOP = Path(__file__).parents[2]
STEPS_END = "\n];\n"
# One more storage version, a changed word in one language, and a mark by which a test recognises the page.
LATER_STEP = '\n  (base) => {\n    base.createObjectStore("later" as never);\n  },\n];\n'
LATER_WORD = "Senare inställningar"
MARK = '\ndocument.documentElement.dataset.build = "later";\n'
BUILD = (
    ("node_modules/vite/bin/vite.js", "build"),
    ("node_modules/vite/bin/vite.js", "build", "--config", "vite.worker.config.ts"),
    ("build/precache.mjs",),
)


def later_build(folder: Path, hook: Any) -> Path:
    """Build the later version and return the folder with its files."""
    pwa = folder / "pwa"
    shutil.copytree(TOP / "pwa", pwa, ignore=shutil.ignore_patterns("node_modules", "dist", "__pycache__"))
    (pwa / "node_modules").symlink_to(TOP / "pwa" / "node_modules")
    (folder / "server").symlink_to(TOP / "server")
    steps = pwa / "src" / "store" / "steps.ts"
    text = steps.read_text(encoding="utf-8")
    assert text.count(STEPS_END) == 1
    steps.write_text(text.replace(STEPS_END, LATER_STEP), encoding="utf-8")
    words = pwa / "src" / "i18n" / "sv" / "log.ts"
    text = words.read_text(encoding="utf-8")
    assert 'title: "Inställningar"' in text
    words.write_text(text.replace('title: "Inställningar"', f'title: "{LATER_WORD}"'), encoding="utf-8")
    with (pwa / "src" / "main.tsx").open("a", encoding="utf-8") as main:
        main.write(MARK)
    node = hook.Node(pwa)
    for command in BUILD:
        node.run(*command)
    return pwa / "dist"
