"""What a picture looks like in 64 bits, so that a copy is known though it was made smaller or encoded again.

A difference hash: the picture is shrunk to 9 x 8 greys, and each of the 64 bits says whether a grey is brighter than
its neighbour to the right. Brightness, size and compression hardly change it; another picture has about half of the
bits different. Two are taken for one picture when at most `FARTHEST` bits differ.
"""

from collections.abc import Iterator
from itertools import pairwise

from PIL import Image

FARTHEST = 6
COLUMNS, ROWS = 9, 8
# A picture with fewer greys than this, of 255, shows nothing: its bits would be those of any other such picture.
LEAST_CONTRAST = 8
BANDS = 4
WIDTH = 16


def difference_hash(image: Image.Image) -> int | None:
    """Return the hash of a picture, 0..2^64-1; None for one that shows nothing."""
    greys = image.convert("L").resize((COLUMNS, ROWS), Image.Resampling.BOX).tobytes()
    if max(greys) - min(greys) < LEAST_CONTRAST:
        return None
    bits = 0
    for row in range(ROWS):
        line = greys[row * COLUMNS : (row + 1) * COLUMNS]
        for left, right in pairwise(line):
            bits = bits << 1 | (left > right)
    return bits


def distance(one: int, other: int) -> int:
    """Return in how many bits two hashes differ, 0..64."""
    return (one ^ other).bit_count()


def bands(look: int) -> tuple[int, ...]:
    """Return the keys under which a hash is found: its four quarters, each with its number above it."""
    return tuple(band << WIDTH | look >> band * WIDTH & (1 << WIDTH) - 1 for band in range(BANDS))


def reach(look: int) -> Iterator[int]:
    """Yield every key under which a hash at most `FARTHEST` away is found.

    Six differing bits over four quarters leave one quarter with one of them at most: so the quarters as they are, and
    with each bit turned, are 68 keys, and no picture nearby is missed.
    """
    for key in bands(look):
        yield key
        yield from (key ^ 1 << bit for bit in range(WIDTH))
