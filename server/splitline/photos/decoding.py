"""Decodes and re-encodes pictures: the pixels only, without metadata, at a size that is cheap to process."""

import io
from dataclasses import dataclass, replace
from math import ceil

from PIL import Image, ImageOps

from splitline.errors import Problem, Unusable
from splitline.perceptual_hash import difference_hash

# Phone cameras have 12 to 50 megapixels. Decoding takes 4 bytes a pixel, and temporarily several times that.
MOST_PIXELS = 25_000_000
# A larger JPEG is decoded at half its width and height; other formats cannot be.
MOST_DECODED = 12_500_000
# A progressive JPEG takes some ten scans; each costs time for every pixel of the picture, and only a few bytes.
MOST_SCANS = 100
START_OF_SCAN = b"\xff\xda"
# MPO is the JPEG variant of cameras with two lenses.
FORMATS = {"JPEG": "image/jpeg", "WEBP": "image/webp", "PNG": "image/png"}
QUALITY = 85


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture to serve. look: its difference hash, if just computed."""

    body: bytes
    media_type: str
    look: int | None = None


def clean(body: bytes) -> Picture:
    """Return a picture upright, in its format, with its pixels only; a large JPEG at half its width and height.

    The size is checked before decoding. Raises `Unusable`.
    """
    with _opened(body) as image:
        kind = _kind(image)
        most = MOST_PIXELS if kind == "JPEG" else MOST_DECODED
        if image.width * image.height > most:
            raise _too_many_pixels(most)
        if kind == "JPEG" and body.count(START_OF_SCAN) > MOST_SCANS:
            raise Unusable([Problem("photo_scans", "", "", str(MOST_SCANS))])
        try:
            if image.width * image.height > MOST_DECODED:
                image.draft(None, (image.width // 2, image.height // 2))
            ImageOps.exif_transpose(image, in_place=True)
            look = difference_hash(image)
            return replace(_encoded(image, kind), look=look)
        except Exception as fault:
            # Decoders raise many kinds of exception on damaged bytes; each means that there is no readable picture.
            raise _unreadable() from fault


def narrowed(body: bytes, width: int) -> Picture:
    """Return a copy of a stored picture, at most `width` pixels wide."""
    with _opened(body) as image:
        kind = _kind(image)
        image.thumbnail((width, ceil(image.height * width / image.width)))
        return _encoded(image, kind)


def _opened(body: bytes) -> Image.Image:
    try:
        return Image.open(io.BytesIO(body), formats=list(FORMATS))
    except Image.DecompressionBombError as fault:
        raise _too_many_pixels(MOST_PIXELS) from fault
    except Exception as fault:  # as above
        raise _unreadable() from fault


def _encoded(image: Image.Image, kind: str) -> Picture:
    """Encode the pixels alone: a new picture carries no metadata over. Frees the decoded picture."""
    mode = "RGBA" if kind != "JPEG" and image.has_transparency_data else "RGB"
    size = image.size
    pixels = (image if image.mode == mode else image.convert(mode)).tobytes()
    image.im = Image.new("L", (1, 1)).im
    fresh = Image.frombytes(mode, size, pixels)
    del pixels
    buffer = io.BytesIO()
    fresh.save(buffer, kind, **({} if kind == "PNG" else {"quality": QUALITY}))
    return Picture(buffer.getvalue(), FORMATS[kind])


def _kind(image: Image.Image) -> str:
    return "JPEG" if image.format == "MPO" else str(image.format)


def _too_many_pixels(most: int) -> Unusable:
    return Unusable([Problem("photo_pixels", "", "", str(most))])


def _unreadable() -> Unusable:
    return Unusable([Problem("photo_unreadable", "", "", ", ".join(FORMATS.values()))])
