"""A 64-bit hash of how a picture looks, which recognises a copy that was made smaller or encoded again.

A difference hash: the picture is shrunk to 9 x 8 grey values, and each of the 64 bits says whether a value is brighter
than its neighbour to the right. Brightness, size and compression hardly change it; an unrelated picture differs in
about half of the bits. Two pictures count as the same when at most `FARTHEST` bits differ.
"""

from collections.abc import Iterator
from itertools import pairwise

from PIL import Image

FARTHEST = 6
COLUMNS, ROWS = 9, 8
# A picture whose grey values span less than this, of 255, is blank: its hash would equal that of any other blank
# picture.
LEAST_CONTRAST = 8
BANDS = 4
WIDTH = 16


def difference_hash(image: Image.Image) -> int | None:
    """Return the hash of a picture, 0..2^64-1; None for a blank one."""
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
    """Return the number of bits in which two hashes differ, 0..64."""
    return (one ^ other).bit_count()


def bands(look: int) -> tuple[int, ...]:
    """Return the keys a hash is indexed under: its four quarters, each with its number in the bits above."""
    return tuple(band << WIDTH | look >> band * WIDTH & (1 << WIDTH) - 1 for band in range(BANDS))


def reach(look: int) -> Iterator[int]:
    """Yield every key under which a hash at most `FARTHEST` bits away is indexed.

    If six bits differ over four quarters, at least one quarter differs in at most one bit. The quarters as they are,
    and each with one bit flipped, make 68 keys, which miss no such hash.
    """
    for key in bands(look):
        yield key
        yield from (key ^ 1 << bit for bit in range(WIDTH))
