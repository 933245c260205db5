"""What may be in a tube: two layers that part clearly, with a thin cuff or not, or milk in which nobody sees a line.

Absorptions, scattering and how far a border creeps are invented so that the pictures look like what people describe;
refractive indices (water with ethanol 1.335 to 1.364, gasoline 1.40 to 1.43) and the contraction of ethanol in water
(3.6 % at most) are from memory.
"""

import numpy as np

from study.tubes.things import Colour, Filling, Kind, Slab, Tube

# Per mm, for red, green and blue.
FUELS: dict[str, Colour] = {
    "colourless": (0.0, 0.0003, 0.0012),
    "straw": (0.0004, 0.0030, 0.0200),
    "amber": (0.0030, 0.0180, 0.0700),
    "rose": (0.0010, 0.0350, 0.0220),
    "green": (0.0350, 0.0060, 0.0300),
    "blue": (0.0500, 0.0200, 0.0030),
}
WATERS: dict[str, Colour] = {
    "plain": (0.0, 0.0, 0.0),
    "blue": (0.0450, 0.0150, 0.0020),
    "red": (0.0020, 0.0400, 0.0300),
    "green": (0.0300, 0.0030, 0.0250),
}
CLOUDS = ("thick band", "soft band", "ragged band", "slow change", "all milky", "one liquid")


def volumes(rng: np.random.Generator, tube: Tube) -> tuple[float, float]:
    """Return the volumes at the parting line and at the fuel's surface."""
    fuel = tube.fuel - tube.water
    content = rng.uniform(0.50, 0.92) if rng.random() < 0.7 else rng.uniform(0.08, 0.92)
    ethanol = content * fuel
    share = ethanol / (ethanol + tube.water)
    line = (tube.water + ethanol) * (1.0 - 0.036 * 4.0 * share * (1.0 - share))
    return float(line), float(line + fuel - ethanol)


def filled(
    rng: np.random.Generator, kind: Kind, tube: Tube, line: float, top: float
) -> tuple[Filling, tuple[str, ...]]:
    """Return a filling whose layers part at a volume, or that is milky around it, and what it is called."""
    fuel, water = str(rng.choice(list(FUELS))), "plain"
    if rng.random() < (0.5 if fuel == "colourless" else 0.15):
        water = str(rng.choice([name for name in WATERS if name != "plain"]))
    strength = rng.uniform(0.5, 1.6) * 12.0 / tube.radius
    dye = np.array(FUELS[fuel]) * strength
    low_dye = np.array(WATERS[water]) * strength + dye * rng.choice([0.0, 0.04, 0.12])
    border, surface = tube.height(line), tube.height(top)
    haze = [rng.uniform(0.001, 0.012) if rng.random() < 0.2 else 0.0 for _ in range(2)]
    lower = Slab(-20.0, border, rng.uniform(1.335, 1.364), _colour(low_dye), haze[0])
    upper = Slab(border, surface, rng.uniform(1.40, 1.43), _colour(dye), haze[1])
    names = [f"fuel {fuel}", f"water {water}"]
    cuff, mirror = 0.0, 1.0
    if kind == "milky":
        names.append(str(rng.choice(CLOUDS)))
        layers, mirror = _milk(rng, names[-1], lower, upper, tube), 0.0
    elif rng.random() < 0.45:
        cuff = rng.uniform(0.5, 2.0)
        names.append("cuff")
        layers, mirror = _cuffed(rng, cuff, lower, upper), 0.1
    else:
        layers = (lower, upper)
    air = Slab(surface, 1e4, 1.0, (0.0, 0.0, 0.0))
    creep = 0.0 if kind == "milky" else rng.uniform(0.15, 1.3)
    lean = (float(np.clip(rng.normal(0, 0.025), -0.06, 0.06)), float(np.clip(rng.normal(0, 0.010), -0.02, 0.02)))
    skirt = rng.uniform(0.15, 0.7)
    return Filling((*layers, air), lean, (creep, rng.uniform(0.5, 1.8)), skirt, mirror, border, surface), tuple(names)


def _colour(values: np.ndarray) -> Colour:
    return float(values[0]), float(values[1]), float(values[2])


def _white(rng: np.random.Generator) -> Colour:
    return _colour(rng.uniform(0.55, 0.95) * rng.uniform(0.9, 1.0, 3))


def _cuffed(rng: np.random.Generator, thick: float, lower: Slab, upper: Slab) -> tuple[Slab, ...]:
    """Put a thin cuff between the layers: froth that is 40 to 60 % water, so the line is where it would settle."""
    low = lower.high - rng.uniform(0.4, 0.6) * thick
    middle = 0.5 * (np.array(lower.absorbs) + np.array(upper.absorbs))
    cuff = Slab(
        low, low + thick, 0.5 * (lower.index + upper.index), _colour(middle), rng.uniform(0.02, 0.5), _white(rng)
    )
    return (
        Slab(lower.low, low, lower.index, lower.absorbs, lower.scatters),
        cuff,
        Slab(low + thick, upper.high, upper.index, upper.absorbs, upper.scatters),
    )


def _milk(rng: np.random.Generator, form: str, lower: Slab, upper: Slab, tube: Tube) -> tuple[Slab, ...]:
    """Return layers between which, or in which, no line can be seen."""
    column = tube.height(tube.fuel) - tube.height(tube.water)
    index, white, strong = 0.5 * (lower.index + upper.index), _white(rng), rng.uniform(0.03, 0.4)
    if form in ("all milky", "one liquid"):
        cloud = strong if form == "all milky" else 0.0
        absorbs = lower.absorbs if rng.random() < 0.5 else upper.absorbs
        return (Slab(lower.low, upper.high, index, absorbs, cloud, white),)
    span = {"thick band": (0.07, 0.35), "soft band": (0.15, 0.45), "ragged band": (0.1, 0.4), "slow change": (0.2, 0.6)}
    thick = column * rng.uniform(*span[form])
    # Clear liquid is left on both sides, or there would be one border only.
    lowest, highest = tube.height(tube.water) + 0.06 * column, upper.high - 0.06 * column
    thick = min(thick, highest - lowest)
    low = float(np.clip(lower.high - rng.uniform(0.2, 0.8) * thick, lowest, highest - thick))
    parts = 1 if form == "thick band" else 24
    rough = rng.uniform(0.2, 1.0, parts)
    made = []
    for part in range(parts):
        share = (part + 0.5) / parts
        cloud = {"thick band": 1.0, "soft band": np.sin(np.pi * share) ** 2, "slow change": 0.0}.get(form, rough[part])
        mixed = (1.0 - share) * np.array(lower.absorbs) + share * np.array(upper.absorbs)
        haze = (1.0 - share) * lower.scatters + share * upper.scatters
        ends = low + thick * np.array([part, part + 1]) / parts
        made.append(Slab(float(ends[0]), float(ends[1]), index, _colour(mixed), haze + strong * float(cloud), white))
    first = Slab(lower.low, low, index, lower.absorbs, lower.scatters)
    return (first, *made, Slab(low + thick, upper.high, index, upper.absorbs, upper.scatters))
