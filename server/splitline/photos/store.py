"""Stores pictures, named by the SHA-256 of the bytes sent, without metadata, in a folder or an object store."""

import asyncio
import logging
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from errno import EDQUOT, EFBIG, ENOSPC
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from obstore.exceptions import BaseError
from obstore.store import LocalStore, from_url

from splitline.errors import Problem, SplitlineError, Unusable
from splitline.identity import Identity, SecretTaken
from splitline.intake.reevaluate import hold_lookalikes
from splitline.photos.decoding import Picture, clean, narrowed
from splitline.store import contributors, photos
from splitline.store.engine import Store
from splitline.store.photos import PhotoRow

if TYPE_CHECKING:
    from obstore.store import ClientConfig, ObjectStore, RetryConfig

MOST_BYTES = 2 * 1024 * 1024
WIDTHS = (160, 320, 640, 1280)
# An http:// store is deliberate: setting timeouts here would otherwise override AWS_ALLOW_HTTP.
CLIENT: "ClientConfig" = {"connect_timeout": "5s", "timeout": "15s", "allow_http": True}
RETRIES: "RetryConfig" = {"max_retries": 2, "retry_timeout": timedelta(seconds=10)}
# A full disk, a file size limit, a quota; obstore reports them only in its message.
FULL = (ENOSPC, EFBIG, EDQUOT)
# A picture may arrive before the test that names it, by as long as a phone's batch may take.
UNNAMED = timedelta(days=1)

log = logging.getLogger(__name__)


class PhotosUnavailable(SplitlineError):
    """The picture store did not answer."""


class PhotosFull(SplitlineError):
    """The picture store is full; nothing of the picture was stored."""


@dataclass(frozen=True, slots=True)
class Kept:
    """A picture that was sent. bytes: size as stored; known: it was already here."""

    digest: str
    bytes: int
    known: bool


class Photos:
    """The stored pictures: bytes in an object store, metadata in the database."""

    def __init__(self, url: str, store: Store) -> None:
        """url: a folder, or anything `obstore.store.from_url` takes, such as s3://bucket/prefix."""
        self.place = url
        self._objects = _objects(url)
        self._store = store
        self._decoding = asyncio.Semaphore(2)

    async def keep(self, digest: str, body: bytes, identity: Identity, now: datetime) -> Kept:
        """Store a picture under the digest of the bytes sent, and hold the tests that name it if it is a duplicate.

        Raises `Unusable` if the bytes have another digest or are no readable picture, `SecretTaken`, `StoreUnavailable`
        or `PhotosUnavailable`.
        """
        actual = sha256(body).hexdigest()
        if actual != digest:
            raise Unusable([Problem("digest_differs", "sha256", actual, digest)])
        async with self._store.read() as connection:
            known = await photos.by_digest(connection, digest)
        if known and await self._fetch(_path(digest)) is not None:
            return Kept(digest, known.bytes, known=True)
        picture = await self._in_thread(clean, body)
        await self._put(_path(digest), picture.body)
        async with self._store.write() as connection:
            taken = await contributors.known(connection, [identity])
            if contributors.strangers([identity], taken):
                raise SecretTaken
            await contributors.admit(connection, [identity], taken, now)
            row = PhotoRow(
                digest=digest,
                contributor=identity.id,
                media_type=picture.media_type,
                bytes=len(picture.body),
                received_at=now,
                look=f"{picture.look:016x}" if picture.look is not None else None,
            )
            await photos.put(connection, row)
            await hold_lookalikes(connection, digest, picture.look, now)
            unnamed = await photos.dismiss_unnamed(connection, now - UNNAMED)
        if unnamed:
            await self.sweep()
        return Kept(digest, len(picture.body), known=False)

    async def find(self, digest: str, width: int | None) -> Picture | None:
        """Return a picture, or a copy at least `width` pixels wide if it is wider.

        None if it is not here, or if no counted or held test shows it: this is no general file store.
        """
        async with self._store.read() as connection:
            row = await photos.served(connection, digest)
        if not row:
            return None
        step = next((step for step in WIDTHS if width and step >= width), None)
        copy = await self._fetch(_path(digest, step)) if step else None
        if copy is not None:
            return Picture(copy, row.media_type)
        whole = await self._fetch(_path(digest))
        if whole is None or step is None:
            return Picture(whole, row.media_type) if whole is not None else None
        picture = await self._in_thread(narrowed, whole, step)
        await self._put(_path(digest, step), picture.body)
        return picture

    async def original(self, digest: str) -> bytes | None:
        """Return a stored picture, named by a test or not; None if it is not here. Raises `PhotosUnavailable`."""
        return await self._fetch(_path(digest))

    async def put_back(self, digest: str, body: bytes) -> None:
        """Put a picture back as it was stored. Raises `PhotosUnavailable`."""
        await self._put(_path(digest), body)

    async def take_away(self, digest: str) -> None:
        """Delete a picture's bytes if they are there. Raises `PhotosUnavailable`."""
        await self._drop(_path(digest))

    async def is_empty(self) -> bool:
        """Return whether the store is empty. Raises `PhotosUnavailable`."""
        try:
            async for page in self._objects.list(chunk_size=1):
                return not page
        except (BaseError, OSError) as fault:
            raise _as_ours(fault) from fault
        return True

    async def tidy(self, now: datetime) -> None:
        """Delete pictures that no test named in time, and those that no test shows any more."""
        async with self._store.write() as connection:
            await photos.dismiss_unnamed(connection, now - UNNAMED)
        await self.sweep()

    async def sweep(self) -> None:
        """Delete the bytes of pictures that no test shows any more; failures are tried again at the next start."""
        async with self._store.read() as connection:
            digests = await photos.leaving(connection)
        gone = []
        for digest in digests:
            try:
                for step in (None, *WIDTHS):
                    await self._drop(_path(digest, step))
            except PhotosUnavailable:
                # If one cannot be reached, the others cannot either, and somebody is waiting for an answer.
                log.warning("pictures could not be deleted yet, from %s on", digest)
                break
            gone.append(digest)
        if gone:
            async with self._store.write() as connection:
                await photos.forget(connection, gone)

    async def _in_thread(self, work: Callable[..., Picture], *arguments: object) -> Picture:
        async with self._decoding:
            return await asyncio.to_thread(work, *arguments)

    async def _fetch(self, path: str) -> bytes | None:
        try:
            return bytes(await (await self._objects.get_async(path)).bytes_async())
        except FileNotFoundError:
            return None
        except (BaseError, OSError) as fault:
            raise _as_ours(fault) from fault

    async def _put(self, path: str, body: bytes) -> None:
        try:
            await self._objects.put_async(path, body)
        except (BaseError, OSError) as fault:
            raise _as_ours(fault) from fault

    async def _drop(self, path: str) -> None:
        try:
            await self._objects.delete_async(path)
        except FileNotFoundError:
            return
        except (BaseError, OSError) as fault:
            raise _as_ours(fault) from fault


def _objects(url: str) -> "ObjectStore":
    """Open the picture store; a remote one times out before a phone does."""
    if "://" not in url:
        return LocalStore(Path(url).absolute(), mkdir=True)
    return from_url(url, client_options=CLIENT, retry_config=RETRIES)


def _as_ours(fault: Exception) -> SplitlineError:
    """The picture store's error as one of ours."""
    sentence = str(fault).splitlines()[0]
    if any(f"(os error {code})" in sentence for code in FULL):
        return PhotosFull(f"the disk of the pictures is full: {sentence}")
    return PhotosUnavailable(f"the picture store does not answer: {sentence}")


def _path(digest: str, width: int | None = None) -> str:
    return f"{digest[:2]}/{digest}" + (f"-{width}" if width else "")
