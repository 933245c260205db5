"""Which scenes are for work on the finder and which only judge it.

Split by family and seed. The finder is trained on neither (`pwa/training` draws its own pictures); its threshold is
set on DEVELOPMENT. JUDGING has other seeds and another mix, nearly half of it of a family that development never shows,
with a backdrop of its own. Whoever changes the finder after a look at pictures of JUDGING, or goes by its figures, has
to draw a new one: another seed here.
"""

from dataclasses import dataclass

from study.tubes.families import scene
from study.tubes.sight import visible
from study.tubes.things import Kind, Scene

TRIES = 60


@dataclass(frozen=True)
class Set:
    """How many clear and milky scenes of each family, and where their seeds start."""

    name: str
    seed: int
    clear: dict[str, int]
    milky: dict[str, int]

    def tasks(self, share: float = 1.0) -> list[tuple[str, Kind, int]]:
        """Return family, kind and first seed of every scene, or of a share of each family's."""
        kinds: tuple[tuple[Kind, dict[str, int]], ...] = (("clear", self.clear), ("milky", self.milky))
        return [
            (family, kind, self.seed + 10_000_000 * (kind == "milky") + 1000 * number)
            for kind, families in kinds
            for family, count in families.items()
            for number in range(round(share * count))
        ]


DEVELOPMENT = Set(
    "development",
    400_000_000,
    {"bench": 126, "forecourt": 144, "kitchen": 90},
    {"bench": 84, "forecourt": 96, "kitchen": 60},
)
JUDGING = Set(
    "judging",
    700_000_000,
    {"bench": 18, "forecourt": 36, "kitchen": 45, "night": 81},
    {"bench": 12, "forecourt": 24, "kitchen": 30, "night": 54},
)


def drawn_scene(family: str, kind: Kind, seed: int) -> Scene:
    """Return the first scene from a seed on that shows a person what it is about."""
    return next(one for one in (scene(family, kind, seed + number) for number in range(TRIES)) if visible(one))
