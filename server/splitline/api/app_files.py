"""The field app: its built files, read once and served under `/`."""

import mimetypes
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

from litestar import Response
from litestar.handlers import HTTPRouteHandler

from splitline.api import caching
from splitline.api.problems import RequestRefused
from splitline.api.services import HttpRequest, reads
from splitline.errors import Problem

PACKAGED = Path(__file__).parents[1] / "app"
IN_TREE = Path(__file__).parents[3] / "pwa" / "dist"
# The build puts a digest of the content into these names; everything else is revalidated each time.
HASHED = "assets/"
IMMUTABLE = "public, max-age=31536000, immutable"
TYPES = {".js": "text/javascript", ".webmanifest": "application/manifest+json", ".svg": "image/svg+xml; charset=utf-8"}
NO_APP = b"Splitline is serving its API at /api/v1; the field app was not built into this installation.\n"


@dataclass(frozen=True, slots=True)
class AppFile:
    """One file of the field app."""

    body: bytes
    media_type: str
    tag: str
    control: str


def app_folder() -> Path | None:
    """Return the folder of the built app: in the package, or in the source tree beside it."""
    return next((folder for folder in (PACKAGED, IN_TREE) if (folder / "index.html").is_file()), None)


def read_app(folder: Path | None) -> dict[str, AppFile]:
    """Return the app's files by path; without an app, one sentence that says so."""
    if folder is None:
        return {"": _file("", NO_APP, "text/plain")}
    paths = sorted(path for path in folder.rglob("*") if path.is_file())
    files = {str(path.relative_to(folder).as_posix()): path for path in paths}
    found = {name: _file(name, path.read_bytes(), _media_type(path)) for name, path in files.items()}
    return {**found, "": found["index.html"]}


def app_handler(files: dict[str, AppFile]) -> HTTPRouteHandler:
    """Return the handler for every path that has no other handler."""

    @reads(["/", "/{path:path}"], include_in_schema=False)
    async def app_file(request: HttpRequest) -> Response[Any]:
        """Serve a file of the field app."""
        path = str(request.path_params.get("path", ""))
        file = files.get(path.lstrip("/"))
        if file is None:
            raise RequestRefused(404, [Problem("not_found", "", path[:60])])
        if caching.unchanged(request, file.tag):
            return caching.not_modified(file.tag, file.control)
        return caching.tagged(file.body, file.tag, file.media_type, file.control)

    return app_file


def _file(name: str, body: bytes, media_type: str) -> AppFile:
    tag = f'W/"{sha256(body).hexdigest()[:32]}"'
    return AppFile(body, media_type, tag, IMMUTABLE if name.startswith(HASHED) else "no-cache")


def _media_type(path: Path) -> str:
    return TYPES.get(path.suffix) or mimetypes.guess_type(path.name)[0] or "application/octet-stream"
