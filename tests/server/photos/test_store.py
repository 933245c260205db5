"""Photos: what is stored, what is refused, and that a photo is deleted with its test; on both databases."""

import io
import struct
import zlib
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path

import pytest
from PIL import ExifTags, Image, ImageCms, ImageOps, PngImagePlugin

from helpers.examples import drawing, person, picture, reading, retraction, source, texts
from splitline.errors import Unusable
from splitline.intake.intake import Intake
from splitline.perceptual_hash import FARTHEST, difference_hash, distance
from splitline.photos.decoding import MOST_DECODED, MOST_PIXELS, clean, narrowed
from splitline.photos.store import WIDTHS, Photos
from splitline.store import photos as notes
from splitline.store.engine import Store

NOW = datetime(2026, 4, 1, 12, 0, tzinfo=UTC)


def digest_of(body: bytes) -> str:
    return sha256(body).hexdigest()


def opened(body: bytes) -> Image.Image:
    return Image.open(io.BytesIO(body))


def saved(image: Image.Image, kind: str, **options: object) -> bytes:
    buffer = io.BytesIO()
    image.save(buffer, kind, **options)  # type: ignore[arg-type]
    return buffer.getvalue()


def located() -> Image.Exif:
    """Metadata with a position, a name and a quarter turn."""
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = 6
    exif[ExifTags.Base.Artist] = "PRIVATE-NAME"
    exif.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSLatitudeRef] = "PRIVATE-PLACE"
    return exif


async def keep(photos: Photos, body: bytes, by: int = 1) -> str:
    return (await photos.keep(digest_of(body), body, person(by), NOW)).digest


async def name(intake: Intake, *bodies: bytes) -> None:
    """Send a test that names these pictures."""
    await intake.receive(person(1), texts(source(1), reading(1, at=1, photos=list(map(digest_of, bodies)))), NOW)


@pytest.mark.parametrize("kind", ["JPEG", "WEBP", "PNG"])
async def test_a_picture_is_stored_in_its_format_under_the_digest_of_the_upload(
    intake: Intake, photos: Photos, kind: str
) -> None:
    body = picture(kind)
    await name(intake, body)
    kept = await photos.keep(digest_of(body), body, person(1), NOW)
    assert (kept.digest, kept.known) == (digest_of(body), False)
    found = await photos.find(kept.digest, None)
    assert found is not None
    assert (found.media_type, len(found.body)) == (f"image/{kind.lower()}", kept.bytes)
    assert opened(found.body).format == kind
    assert (await photos.keep(digest_of(body), body, person(2), NOW)).known


@pytest.mark.parametrize("kind", ["JPEG", "WEBP", "PNG"])
def test_metadata_is_removed_and_the_picture_is_rotated_upright(kind: str) -> None:
    image = Image.new("RGB", (60, 40), (10, 10, 10))
    image.paste((250, 250, 250), (0, 0, 60, 8))  # a bright top edge, which a quarter turn moves to the right
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    sent = saved(image, kind, exif=located(), icc_profile=profile, quality=95)
    assert b"PRIVATE-NAME" in sent
    cleaned = clean(sent).body
    for word in (b"PRIVATE", b"Exif", b"ICC_PROFILE", b"iCCP", b"ICCP", b"sRGB built-in"):
        assert word not in cleaned
    upright = opened(cleaned)
    assert not upright.getexif()
    assert upright.size == (40, 60)
    right, left = upright.convert("L").getpixel((37, 30)), upright.convert("L").getpixel((10, 30))
    assert isinstance(right, int)
    assert isinstance(left, int)
    assert right > 200 > 60 > left


def test_texts_and_comments_are_removed() -> None:
    note = PngImagePlugin.PngInfo()
    note.add_text("Comment", "PRIVATE-NAME", zip=False)
    assert b"PRIVATE" not in clean(saved(Image.new("RGB", (9, 9)), "PNG", pnginfo=note)).body
    assert b"PRIVATE" not in clean(saved(Image.new("RGB", (9, 9)), "JPEG", comment="PRIVATE-NAME")).body


@pytest.mark.parametrize(("mode", "kind"), [("P", "PNG"), ("LA", "PNG"), ("L", "JPEG"), ("CMYK", "JPEG"), ("1", "PNG")])
def test_unusual_pixel_formats_are_accepted(mode: str, kind: str) -> None:
    assert opened(clean(saved(Image.new(mode, (20, 10)), kind)).body).size == (20, 10)


def test_a_multi_picture_file_is_stored_as_jpeg() -> None:
    first = Image.new("RGB", (20, 10), (200, 0, 0))
    sent = saved(first, "MPO", save_all=True, append_images=[Image.new("RGB", (20, 10))])
    assert clean(sent).media_type == "image/jpeg"


def bomb() -> bytes:
    """A PNG of a few bytes that claims a billion pixels."""

    def chunk(name: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))

    head = struct.pack(">IIBBBBB", 32_000, 32_000, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 1000)) + chunk(b"IEND", b"")
    )


@pytest.mark.parametrize(
    ("body", "code"),
    [
        (b"", "photo_unreadable"),
        (b"GIF89a" + bytes(100), "photo_unreadable"),
        (saved(Image.new("RGB", (9, 9)), "GIF"), "photo_unreadable"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "photo_unreadable"),
        (picture("JPEG")[:300], "photo_unreadable"),
        (picture("PNG")[:70], "photo_unreadable"),
        (bomb(), "photo_pixels"),
        (saved(Image.new("1", (6000, 5000)), "PNG"), "photo_pixels"),
    ],
)
def test_anything_but_a_picture_is_refused(body: bytes, code: str) -> None:
    with pytest.raises(Unusable) as raised:
        clean(body)
    assert [problem.code for problem in raised.value.problems] == [code]
    assert MOST_PIXELS < 6000 * 5000


@pytest.mark.parametrize(("kind", "options"), [("PNG", {}), ("WEBP", {"method": 0})])
def test_formats_without_scaled_decoding_have_a_lower_pixel_limit(kind: str, options: dict[str, object]) -> None:
    assert MOST_DECODED < 4200 * 3000 < MOST_PIXELS
    with pytest.raises(Unusable) as raised:
        clean(saved(Image.new("RGB", (4200, 3000)), kind, **options))
    assert [(problem.code, problem.limit) for problem in raised.value.problems] == [("photo_pixels", str(MOST_DECODED))]


@pytest.mark.parametrize(("orientation", "kept"), [(1, (2880, 2160)), (6, (2160, 2880))])
def test_a_very_large_jpeg_is_halved_in_each_direction(orientation: int, kept: tuple[int, int]) -> None:
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = orientation
    body = saved(opened(drawing(7, size=(5760, 4320))), "JPEG", exif=exif)
    found = clean(body)
    image = opened(found.body)
    assert (image.size, dict(image.getexif())) == (kept, {})
    whole = difference_hash(ImageOps.exif_transpose(opened(body)))
    assert whole is not None
    assert found.look is not None
    assert distance(whole, found.look) <= FARTHEST
    small = narrowed(found.body, 320)
    assert opened(small.body).size == (320, round(320 * kept[1] / kept[0]))


async def test_bytes_that_do_not_match_the_digest_are_refused(photos: Photos, store: Store) -> None:
    with pytest.raises(Unusable) as raised:
        await photos.keep("ab" * 32, picture(), person(1), NOW)
    assert [problem.code for problem in raised.value.problems] == ["digest_differs"]
    assert await photos.find("ab" * 32, None) is None
    assert await photos.find(digest_of(picture()), None) is None


@pytest.mark.parametrize(("asked", "given"), [(1, 160), (160, 160), (161, 320), (1280, 1280), (1281, 1500)])
async def test_a_smaller_copy_is_at_least_as_wide_as_requested(
    intake: Intake, photos: Photos, asked: int, given: int
) -> None:
    digest = await keep(photos, picture("JPEG", (1500, 1000)))
    await name(intake, picture("JPEG", (1500, 1000)))
    for _ in range(2):  # first made, then found
        copy = await photos.find(digest, asked)
        assert copy is not None
        assert opened(copy.body).width == given


async def test_a_narrow_picture_is_not_enlarged(intake: Intake, photos: Photos) -> None:
    await name(intake, picture("PNG", (50, 40)))
    copy = await photos.find(await keep(photos, picture("PNG", (50, 40))), 320)
    assert copy is not None
    assert opened(copy.body).width == 50


async def test_retracting_a_test_deletes_its_pictures_with_all_copies(
    intake: Intake, photos: Photos, store: Store, tmp_path: Path
) -> None:
    gone, shared = picture("JPEG", (400, 300)), picture("PNG")
    test = reading(1, at=1, photos=[digest_of(gone), digest_of(shared)])
    other = reading(2, at=1, photos=[digest_of(shared)])  # held as a duplicate, but it still shows the picture
    await intake.receive(person(1), texts(source(1), test, other), NOW)
    for body in (gone, shared):
        await photos.find(await keep(photos, body), WIDTHS[0])
    assert len(list((tmp_path / "photos").rglob(f"{digest_of(gone)}*"))) == 2
    await intake.receive(person(1), texts(retraction(test)), NOW)
    assert list((tmp_path / "photos").rglob(f"{digest_of(gone)}*")) == []
    assert await photos.find(digest_of(gone), None) is None
    assert await photos.find(digest_of(shared), None) is not None


async def test_a_picture_dropped_by_a_new_revision_is_deleted(intake: Intake, photos: Photos) -> None:
    body = picture()
    await intake.receive(person(1), texts(source(1), reading(1, at=1, photos=[digest_of(body)])), NOW)
    await keep(photos, body)
    await intake.receive(person(1), texts(reading(1, at=1, revision=2)), NOW)
    assert await photos.find(digest_of(body), None) is None


async def test_a_failed_deletion_is_repeated_at_the_next_start(
    intake: Intake, photos: Photos, store: Store, tmp_path: Path
) -> None:
    body = picture()
    test = reading(1, at=1, photos=[digest_of(body)])
    await intake.receive(person(1), texts(source(1), test), NOW)
    await keep(photos, body)
    async with store.write() as connection:  # as if the server had stopped between the commit and the deletion
        await notes.show(connection, [(test["id"], "FR-63", ())])
        await notes.dismiss(connection, [digest_of(body)])
    assert await photos.find(digest_of(body), None) is None
    await Photos(str(tmp_path / "photos"), store).sweep()
    assert list((tmp_path / "photos").rglob(digest_of(body))) == []


async def test_a_picture_without_a_test_is_not_served_and_deleted_after_a_day(
    intake: Intake, photos: Photos, tmp_path: Path
) -> None:
    stray, awaited = drawing(1), drawing(2)
    await keep(photos, stray)
    await keep(photos, awaited)
    assert await photos.find(digest_of(stray), None) is None
    await name(intake, awaited)
    await photos.tidy(NOW + timedelta(hours=24))
    assert len(list((tmp_path / "photos").rglob(digest_of(stray)))) == 1
    later = NOW + timedelta(hours=24, seconds=1)
    await photos.keep(
        digest_of(picture()), picture(), person(2), later
    )  # no restart is needed: the next upload deletes it
    assert list((tmp_path / "photos").rglob(digest_of(stray))) == []
    assert await photos.find(digest_of(awaited), None) is not None


async def test_pictures_can_be_in_an_object_store(intake: Intake, store: Store) -> None:
    photos = Photos("memory:///pictures", store)
    await name(intake, picture())
    digest = await keep(photos, picture())
    assert await photos.find(digest, 160) is not None
