"""Perceptual hashes: bits computed by hand, copies recognised, other pictures not."""

import io
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageEnhance

from helpers.examples import drawing, picture
from splitline.perceptual_hash import BANDS, FARTHEST, bands, difference_hash, distance, reach

HASHES = st.integers(0, 2**64 - 1)


def opened(body: bytes) -> Image.Image:
    return Image.open(io.BytesIO(body)).convert("RGB")


def hashed(image: Image.Image) -> int:
    look = difference_hash(image)
    assert look is not None
    return look


def test_bits_of_fields_drawn_by_hand() -> None:
    """Eight rows of nine squares: the first falls throughout, the second rises, the others fall at their first step."""
    rows = [[200 - 10 * x for x in range(9)], [100 + 10 * x for x in range(9)], *[[90, *[50] * 8] for _ in range(6)]]
    image = Image.new("L", (9, 8))
    image.putdata([grey for row in rows for grey in row])
    large = image.resize((9 * 40, 8 * 40), Image.Resampling.NEAREST)
    assert f"{hashed(large):016x}" == "ff00" + "80" * 6


def test_a_smaller_brighter_or_reencoded_copy_is_recognised() -> None:
    original = opened(drawing(1, size=(900, 600)))
    buffer = io.BytesIO()
    original.save(buffer, "JPEG", quality=40)
    copies = [
        opened(buffer.getvalue()),
        original.resize((300, 200)),
        ImageEnhance.Brightness(original).enhance(1.1),
        original.crop((5, 4, 895, 596)),
    ]
    for copy in copies:
        assert distance(hashed(original), hashed(copy)) <= FARTHEST


def test_different_pictures_are_told_apart() -> None:
    looks = [hashed(opened(drawing(seed))) for seed in range(40)]
    nearest = min(distance(a, b) for index, a in enumerate(looks) for b in looks[:index])
    assert nearest > FARTHEST


@pytest.mark.parametrize("body", [picture(), picture("PNG", (9, 9), (0, 0, 0)), picture("PNG", (1, 1))])
def test_a_blank_picture_has_no_hash(body: bytes) -> None:
    assert difference_hash(opened(body)) is None


@given(HASHES, st.sets(st.integers(0, 63), max_size=FARTHEST))
def test_every_near_hash_is_within_reach(look: int, turned: set[int]) -> None:
    other = look
    for bit in turned:
        other ^= 1 << bit
    assert distance(look, other) == len(turned)
    assert set(reach(look)) & set(bands(other))


def test_few_other_hashes_are_within_reach() -> None:
    random = Random(1)
    look = random.getrandbits(64)
    keys = set(reach(look))
    assert len(keys) == BANDS * 17
    found = sum(bool(keys & set(bands(random.getrandbits(64)))) for _ in range(20_000))
    assert found / 20_000 < 0.003
