"""Draw pictures to train on: `python samples.py FOLDER --count 20000`; several may run beside each other.

`sample(seed)` gives the strips that the app would see, and where the line is.
"""

import argparse
from pathlib import Path

import numpy as np
from camera import BELOW, PER_COLUMN, STRIPS, sampled, taken
from printed import held, over
from scene import drawn
from tube import Array, Tube, colours

# The picture reaches this far beyond the marks, and across.
ALONG = (-0.08, 1.03)
ACROSS = 0.32
CLEAR = 0.5
A_FILE = 250


def sample(seed: int) -> tuple[Array, float]:
    """Return strips (row, strip, colour) of 0 to 255, and the line's share, NaN when nobody could read one."""
    rng = np.random.default_rng(seed)
    while True:
        found = tried(rng)
        if found is not None:
            return found


def tried(rng: np.random.Generator) -> tuple[Array, float] | None:
    """Return a picture, or None if it has a line that nobody could see."""
    clear = bool(rng.random() < CLEAR)
    tube, line = drawn(rng, clear)
    fine = float(np.exp(rng.uniform(np.log(0.5), np.log(1.4))))
    pixel = 1 / (PER_COLUMN * fine)
    y, x = np.meshgrid(np.arange(*ALONG, pixel), np.arange(-ACROSS, ACROSS, pixel), indexing="ij")
    x, y = x.astype(np.float32), y.astype(np.float32)
    light, glass = colours(tube, x, y)
    light = over(rng, tube, light.astype(np.float32), x, y, glass)
    hidden = False
    if rng.random() < 0.25:
        light, hidden = held(rng, light, x, y, line)
    picture, plain = taken(rng, light.astype(np.float32), fine)
    hand = rng.normal(0, 0.0025), rng.normal(0, 0.004)
    origin = (hand[0] - ALONG[0]) / pixel, (hand[1] + ACROSS) / pixel
    strips = sampled(picture, origin, fine)
    if hidden or line is None:
        return strips, np.nan
    at = line - hand[0]
    return (strips, at) if visible(sampled(plain, origin, fine), strips, tube, at) else None


def visible(plain: Array, noisy: Array, tube: Tube, line: float) -> bool:
    """Tell whether a person could see the line: it stands out from the noise on a third of the bore."""
    row = round(BELOW + PER_COLUMN * line)
    wide = np.abs(STRIPS - tube.middle) < 0.8 * tube.bore
    part = plain[max(0, row - 14) : row + 15][:, wide]
    noise = 1.5 * np.median(np.abs((noisy - plain)[max(0, row - 30) : row + 31][:, wide]))
    lower, upper = part[:9].mean(axis=0), part[-9:].mean(axis=0)
    step = np.abs(upper - lower).max(axis=-1)
    middle = part[9:-9]
    usual = 0.5 * (lower + upper)
    dip = np.abs(middle - usual).max(axis=(0, 2))
    seen = (step > 7.0 + 1.5 * noise) | (dip > 14.0 + 2.5 * noise)
    return bool(seen.mean() > 0.34)


def main() -> None:
    """Fill files with pictures, 250 each."""
    options = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    options.add_argument("folder", type=Path)
    options.add_argument("--count", type=int, default=20000)
    options.add_argument("--seed", type=int, default=0, help="of the first picture")
    chosen = options.parse_args()
    chosen.folder.mkdir(parents=True, exist_ok=True)
    for seed in range(chosen.seed, chosen.seed + chosen.count, A_FILE):
        strips, lines = zip(*map(sample, range(seed, seed + A_FILE)), strict=True)
        np.save(chosen.folder / f"strips-{seed}.npy", np.clip(np.array(strips) + 0.5, 0, 255).astype(np.uint8))
        np.save(chosen.folder / f"lines-{seed}.npy", np.array(lines, np.float32))


if __name__ == "__main__":
    main()
