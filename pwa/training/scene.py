"""Scenes at random, far wider than life, so that a network learns what stays the same: where two layers part.

Everything is drawn independently of everything else. Shares of the fuel column throughout; see `tube.py`.
"""

import numpy as np
from tube import Creep, Layer, Tube, backdrop, tint

# A band between the layers is a cuff up to this height, and from that height on there is no line.
CUFF = 0.035
MILKY = 0.075
# As many borders and surfaces meet the glass without an edge that could be seen.
PLAIN = 0.35
MILKS = ("band", "band", "two", "two", "rough", "soft", "slow", "all milky", "one liquid", "one liquid", "empty")


def drawn(rng: np.random.Generator, clear: bool) -> tuple[Tube, float | None]:
    """Return a tube and the height of its parting line, None when there is none."""
    radius = float(np.exp(rng.uniform(np.log(0.065), np.log(0.27))))
    bore = radius * rng.uniform(0.72, 0.94)
    content = rng.uniform(0.04, 0.98) if rng.random() < 0.5 else rng.uniform(0.45, 0.98)
    shrunk = rng.uniform(0.5, 2) * rng.uniform(0.02, 0.04) * 4 * content * (1 - content)
    line = float(np.clip(content - shrunk, 0.035, 0.93))
    surface = float(max(1 - shrunk + rng.normal(0, 0.008), line + 0.05))
    if not clear and rng.random() < 0.3:
        surface = rng.uniform(0.1, 1.02)
        line = min(line, surface - 0.05)
    layers, creeps = contents(rng, clear, line, surface)
    return Tube(
        middle=rng.normal(0, 0.008),
        turn=rng.normal(0, 0.012),
        radius=radius,
        bore=bore,
        sight=float(np.clip(rng.normal(0.03, 0.06), -0.1, 0.18)),
        bent=rng.uniform(0.55, 1.0),
        thick=radius * rng.uniform(0.03, 0.3),
        arch=rng.normal(0, 0.5) if rng.random() < 0.6 else 0.0,
        lean=float(np.clip(rng.normal(0, 0.03), -0.1, 0.1)),
        layers=layers,
        creeps=creeps,
        white=tuple(rng.uniform(0.1, 1.0) * tint(rng, 0.08)),
        mirror=float(rng.random() < 0.5) * rng.uniform(-1, 1),
        edge=(rng.uniform(0.1, 0.9), rng.uniform(2, 12)),
        wall=rng.uniform(0.4, 1.0),
        behind=backdrop(rng),
    ), (line if clear else None)


def contents(
    rng: np.random.Generator, clear: bool, line: float, surface: float
) -> tuple[tuple[Layer, ...], tuple[Creep, ...]]:
    """Return the layers from the bottom to the air, and the edges of their borders on the glass."""
    below = dye(rng, 0.35)
    above = dye(rng, 0.75)
    if rng.random() < 0.4:
        below = tuple(np.array(below) + np.array(above) * rng.uniform(0, 0.25))
    hazes = [rng.uniform(0.02, 0.35) if rng.random() < 0.2 else 0.0 for _ in range(2)]
    # What is far behind the round tube is seen upside down in width, and narrowed more the farther it is.
    bends = -float(np.exp(rng.uniform(np.log(0.6), np.log(12.0))))
    lower = Layer(-9, line, below, hazes[0], bends)
    upper = Layer(line, surface, above, hazes[1], bends * rng.uniform(1.0, 1.6))
    air = Layer(surface, 9, (0, 0, 0), rng.uniform(0, 0.1), rng.uniform(0.7, 1.0))
    top = () if rng.random() < PLAIN else (creep(rng, surface, 1.5),)
    if not clear:
        return milky(rng, lower, upper, air), top
    if rng.random() < 0.35:
        high = float(np.exp(rng.uniform(np.log(0.003), np.log(CUFF))))
        low = line - high * rng.uniform(0.42, 0.58)
        milk = float(np.exp(rng.uniform(np.log(0.05), np.log(6))))
        middle = tuple(0.5 * (np.array(below) + np.array(above)))
        layers = (
            Layer(-9, low, below, hazes[0], lower.bends),
            Layer(low, low + high, middle, milk, 0.5 * (lower.bends + upper.bends)),
            Layer(low + high, surface, above, hazes[1], upper.bends),
            air,
        )
        edges = (creep(rng, low, 0.4), creep(rng, low + high, 0.4)) if rng.random() < 0.4 else ()
        return layers, (*edges, *top)
    edge = () if rng.random() < PLAIN else (creep(rng, line, 1.0),)
    return (lower, upper, air), (*edge, *top)


def milky(rng: np.random.Generator, lower: Layer, upper: Layer, air: Layer) -> tuple[Layer, ...]:
    """Return layers without a line that anybody could read."""
    form = str(rng.choice(MILKS))
    strong = float(np.exp(rng.uniform(np.log(0.1), np.log(6))))
    if form == "empty":
        return (Layer(-9, 9, (0, 0, 0), rng.uniform(0, 0.1), rng.uniform(0.7, 1.0)),)
    if form in ("all milky", "one liquid"):
        kept = lower if rng.random() < 0.5 else upper
        return (Layer(-9, upper.high, kept.absorbs, strong if form == "all milky" else kept.milk, kept.bends), air)
    high = rng.uniform(MILKY, 0.5)
    low = float(np.clip(lower.high - rng.uniform(0.2, 0.8) * high, 0.0, upper.high - high))
    count = {"band": 1, "two": int(rng.integers(2, 4))}.get(form, int(rng.integers(8, 30)))
    rough = rng.uniform(0.1, 1.0, count) if form in ("rough", "two") or rng.random() < 0.3 else np.ones(count)
    made = []
    for part in range(count):
        way = (part + 0.5) / count
        milk = strong * rough[part] * (np.sin(np.pi * way) ** 2 if form == "soft" else 1.0)
        if form == "slow":
            milk = rng.uniform(0, 0.05)
        absorbs = tuple((1 - way) * np.array(lower.absorbs) + way * np.array(upper.absorbs))
        bends = (1 - way) * lower.bends + way * upper.bends
        ends = low + high * part / count, low + high * (part + 1) / count
        made.append(Layer(*ends, absorbs, milk + (1 - way) * lower.milk + way * upper.milk, bends))
    first = Layer(-9, low, lower.absorbs, lower.milk, lower.bends)
    last = Layer(low + high, upper.high, upper.absorbs, upper.milk, upper.bends)
    return (first, *made, last, air)


def creep(rng: np.random.Generator, at: float, much: float) -> Creep:
    """Return how a border meets the glass: mostly upward and dark, thin or wide."""
    height = float(np.exp(rng.uniform(np.log(0.003), np.log(0.03)))) * min(much, 1.5)
    up = 1 if rng.random() < 0.8 else -1
    dark = rng.uniform(0.1, 1.0) if rng.random() < 0.75 else -rng.uniform(0.05, 0.8)
    return Creep(at, up * height, dark * min(much, 1.0), rng.uniform(0.2, 2.0), tuple(tint(rng, 0.1)))


def dye(rng: np.random.Generator, often: float) -> tuple[float, float, float]:
    """Return a liquid's absorbance: of some colour, or nearly none."""
    faint = rng.uniform(0, 0.06) * np.array([0.2, 0.5, 1.0])
    if rng.random() > often:
        return tuple(faint)
    strength = float(np.exp(rng.uniform(np.log(0.06), np.log(3.0))))
    if rng.random() < 0.6:
        return tuple(faint + strength * np.array([rng.uniform(0, 0.25), rng.uniform(0.1, 0.6), 1.0]))
    hue = rng.uniform(0, 1, 3)
    return tuple(faint + strength * (hue - hue.min()) / (np.ptp(hue) + 1e-6))
