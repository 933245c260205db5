"""Hostile pictures, made here, each with the required outcome."""

import io
import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from random import Random
from typing import Any

from PIL import ExifTags, Image, ImageCms, PngImagePlugin

PRIVATE = b"PRIVATE"
SIZE = (60, 40)
# Signatures of metadata containers, and of foreign files behind or inside a picture.
SIGNS = (
    PRIVATE,
    b"Exif",
    b"GPS",
    b"ICC_PROFILE",
    b"iCCP",
    b"ICCP",
    b"xmpmeta",
    b"XMP ",
    b"tEXt",
    b"iTXt",
    b"zTXt",
    b"eXIf",
    b"acTL",
    b"ANIM",
    b"MPF\0",
    b"<script",
    b"PK\x03\x04",
    b"%PDF",
)


@dataclass(frozen=True)
class Hostile:
    """What is sent, and the code of the refusal, or None if it is accepted and cleaned."""

    name: str
    body: bytes
    refused: str | None


def saved(image: Image.Image, kind: str, **options: Any) -> bytes:
    """Return the bytes of a picture."""
    buffer = io.BytesIO()
    image.save(buffer, kind, **options)
    return buffer.getvalue()


def plain(mode: str = "RGB", size: tuple[int, int] = SIZE) -> Image.Image:
    """Return a picture of noise, so that encoders have work to do."""
    noise = Image.frombytes("L", size, Random(1).randbytes(size[0] * size[1]))
    return noise.convert("RGB").convert(mode)


def exif() -> Image.Exif:
    """Return EXIF data with a name, a position and a device."""
    made = Image.Exif()
    for field in (ExifTags.Base.Artist, ExifTags.Base.Model, ExifTags.Base.ImageDescription):
        made[field] = "PRIVATE"
    made.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSLatitudeRef] = "PRIVATE"
    made.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSLatitude] = (45.0, 18.0, 7.2)
    return made


def telling() -> Iterator[Hostile]:
    """Pictures with hidden information: every kind of metadata in every format and pixel type."""
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    xmp = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'>PRIVATE</x:xmpmeta>"
    notes = PngImagePlugin.PngInfo()
    notes.add_text("Comment", "PRIVATE")
    notes.add_itxt("XML:com.adobe.xmp", "PRIVATE")
    frames = [plain("RGB"), plain("RGB").rotate(180), plain("RGB").rotate(90, expand=False)]
    later = frames[1:]
    everything: dict[str, Any] = {"exif": exif(), "icc_profile": profile}
    yield Hostile("JPEG", saved(plain(), "JPEG", comment=PRIVATE, xmp=xmp, **everything), None)
    yield Hostile("JPEG, progressive", saved(plain(), "JPEG", progressive=True, comment=PRIVATE, **everything), None)
    yield Hostile("JPEG, grey", saved(plain("L"), "JPEG", comment=PRIVATE, exif=exif()), None)
    yield Hostile("JPEG, CMYK", saved(plain("CMYK"), "JPEG", comment=PRIVATE, **everything), None)
    yield Hostile("JPEG, two pictures", saved(frames[0], "MPO", save_all=True, append_images=later, exif=exif()), None)
    yield Hostile("PNG", saved(plain(), "PNG", pnginfo=notes, **everything), None)
    yield Hostile("PNG, palette", saved(plain("P"), "PNG", pnginfo=notes, **everything), None)
    yield Hostile("PNG, transparent", saved(plain("RGBA"), "PNG", pnginfo=notes, **everything), None)
    yield Hostile("PNG, 16 bits", saved(plain("L").convert("I;16"), "PNG", pnginfo=notes, exif=exif()), None)
    yield Hostile(
        "PNG, animated", saved(frames[0], "PNG", save_all=True, append_images=later, pnginfo=notes, **everything), None
    )
    yield Hostile("WebP", saved(plain(), "WEBP", xmp=xmp, **everything), None)
    yield Hostile("WebP, lossless", saved(plain("RGBA"), "WEBP", lossless=True, xmp=xmp, **everything), None)
    yield Hostile(
        "WebP, animated", saved(frames[0], "WEBP", save_all=True, append_images=later, xmp=xmp, **everything), None
    )


def swelling() -> Iterator[Hostile]:
    """Pictures that are small to send but need much memory or time."""
    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    yield Hostile(
        "PNG, 3,600 million pixels", png(("IHDR", head), ("IDAT", zlib.compress(bytes(1000)))), "photo_pixels"
    )
    yield Hostile("PNG, 30 million pixels", saved(Image.new("1", (6000, 5000)), "PNG"), "photo_pixels")
    yield Hostile("JPEG, 30 million pixels", saved(Image.new("L", (6000, 5000)), "JPEG"), "photo_pixels")
    yield Hostile("WebP, 30 million pixels", saved(Image.new("RGB", (6000, 5000)), "WEBP", method=0), "photo_pixels")
    text = b"Comment\0\0" + zlib.compress(bytes(80_000_000), 9)
    yield Hostile("PNG, text of 80 MB", png(("IHDR", small()), ("zTXt", text), ("IDAT", rows())), "photo_unreadable")
    profile = b"ICC\0\0" + zlib.compress(bytes(80_000_000), 9)
    yield Hostile(
        "PNG, profile of 80 MB", png(("IHDR", small()), ("iCCP", profile), ("IDAT", rows())), "photo_unreadable"
    )
    data = zlib.compress(bytes(80_000_000), 9)
    yield Hostile("PNG, 80 MB for 100 pixels", png(("IHDR", small()), ("IDAT", data)), None)
    jpeg = saved(Image.new("RGB", (4000, 4000)), "JPEG", progressive=True)
    scan = jpeg[jpeg.rindex(b"\xff\xda") : -2]
    yield Hostile("JPEG, 16 million pixels in 20,000 passes", jpeg[:-2] + scan * 20_000 + jpeg[-2:], "photo_scans")


def pretending() -> Iterator[Hostile]:
    """Files that are two formats at once, or not the format they claim."""
    archive = b"PK\x03\x04" + b"PRIVATE" * 10
    page = b"<html><script>PRIVATE</script></html>"
    for kind in ("JPEG", "PNG", "WEBP"):
        body = saved(plain(), kind)
        for name, other in (("an archive", archive), ("a page", page), ("a document", b"%PDF-1.7 PRIVATE")):
            yield Hostile(f"{kind} with {name} behind it", body + other, None)
        yield Hostile(f"a page before {kind}", page + body, "photo_unreadable")
    script = saved(plain(), "JPEG", comment=b"*/=1;alert('PRIVATE')/*")
    yield Hostile("JPEG and script", script, None)
    for name, body in (
        ("GIF", saved(plain("P"), "GIF")),
        ("TIFF", saved(plain(), "TIFF")),
        ("BMP", saved(plain(), "BMP")),
        ("ICO", saved(plain(), "ICO")),
        ("PDF", saved(plain(), "PDF")),
        ("SVG", b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>"),
        ("PostScript", b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n"),
        ("nothing", b""),
    ):
        yield Hostile(name, body, "photo_unreadable")


def png(*chunks: tuple[str, bytes]) -> bytes:
    """Return a PNG of these chunks and an end chunk."""
    made = b"\x89PNG\r\n\x1a\n"
    for name, body in (*chunks, ("IEND", b"")):
        made += (
            struct.pack(">I", len(body)) + name.encode() + body + struct.pack(">I", zlib.crc32(name.encode() + body))
        )
    return made


def small() -> bytes:
    """The header chunk of ten by ten grey pixels."""
    return struct.pack(">IIBBBBB", 10, 10, 8, 0, 0, 0, 0)


def rows() -> bytes:
    """Their bytes."""
    return zlib.compress(bytes(110))


def damaged(seed: int) -> bytes:
    """Return a valid picture with some bytes changed, removed or duplicated, or its end missing."""
    random = Random(seed)
    kind = random.choice(["JPEG", "PNG", "WEBP"])
    mode = random.choice(["RGB", "L", "RGBA" if kind != "JPEG" else "CMYK"])
    options = {"progressive": True} if kind == "JPEG" and random.random() < 0.5 else {}
    body = bytearray(saved(plain(mode if kind != "WEBP" else "RGB", (32, 32)), kind, **options))
    for _ in range(random.randint(1, 8)):
        if not body:
            break
        at = random.randrange(len(body))
        what = random.randrange(4)
        if what == 0:
            body[at] = random.randrange(256)
        elif what == 1:
            del body[at : at + random.randint(1, 20)]
        elif what == 2:
            body[at:at] = body[at : at + random.randint(1, 200)]
        else:
            del body[max(at, 8) :]
    return bytes(body)
