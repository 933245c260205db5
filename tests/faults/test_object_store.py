"""Pictures in an S3 store: a real S3 server in its own process, available and unavailable."""

import asyncio
import io
import os
import subprocess
import sys
import time
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path

import httpx
import pytest
from PIL import Image

from faults.conftest import Place, Tell
from faults.counting import counted
from faults.phones import get, push, until
from helpers.api_client import headers, problem_of
from helpers.command import splitline
from helpers.examples import drawing, reading, retraction, source
from helpers.server_process import START_SECONDS, served
from helpers.system import free_port

BUCKET = "pictures"


class Objects:
    """An S3 server in memory; it keeps its port over restarts."""

    def __init__(self) -> None:
        self.port = free_port()
        self.url = f"http://127.0.0.1:{self.port}"
        self.environment = {
            **os.environ,
            "AWS_ENDPOINT_URL": self.url,
            "AWS_ALLOW_HTTP": "true",
            "AWS_ACCESS_KEY_ID": "tests",
            "AWS_SECRET_ACCESS_KEY": "tests",
            "AWS_REGION": "eu-west-3",
        }
        self._process: subprocess.Popen[bytes] | None = None

    def start(self) -> None:
        if self._process:
            return
        command = [sys.executable, "-m", "moto.server", "-p", str(self.port)]
        quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
        self._process = subprocess.Popen(command, **quiet)  # type: ignore[call-overload]
        until = time.monotonic() + START_SECONDS
        while time.monotonic() < until:
            try:
                assert httpx.put(f"{self.url}/{BUCKET}", timeout=60, verify=False).status_code == 200
            except httpx.TransportError:
                time.sleep(0.1)
            else:
                return
        raise AssertionError("the S3 server did not start")

    def stop(self) -> None:
        if self._process:
            self._process.kill()
            self._process.wait()
            self._process = None

    def names(self, bucket: str = BUCKET) -> list[str]:
        """The object names in the bucket, from the store itself."""
        listed = httpx.get(f"{self.url}/{bucket}", params={"list-type": "2"}, timeout=60, verify=False).text
        return [part.split("</Key>")[0] for part in listed.split("<Key>")[1:]]


@pytest.fixture(scope="module")
def running() -> Iterator[Objects]:
    objects = Objects()
    yield objects
    objects.stop()


@pytest.fixture
def objects(running: Objects) -> Objects:
    """The S3 server, restarted if a test stopped it."""
    running.start()
    return running


def put(url: str, body: bytes) -> httpx.Response:
    path = f"{url}/api/v1/photos/{sha256(body).hexdigest()}"
    return httpx.put(path, content=body, headers=headers(content="image/jpeg"), timeout=60, verify=False)


async def test_pictures_are_stored_scaled_and_deleted(objects: Objects, tmp_path: Path) -> None:
    body = drawing(1, size=(900, 600))
    digest = sha256(body).hexdigest()
    test = reading(1, at=1, photos=[digest])
    options = ("--photos", f"s3://{BUCKET}/club")
    with served(tmp_path, *options, environment=objects.environment) as server:
        assert (await push(server.url, [source(1), test])).status_code == 200
        assert (await asyncio.to_thread(put, server.url, body)).status_code == 201
        assert (await asyncio.to_thread(put, server.url, body)).status_code == 200
        path = f"{server.url}/api/v1/photos/{digest}"
        assert await asyncio.to_thread(objects.names) == [f"club/{digest[:2]}/{digest}"]
        whole, narrow = await get(path), await get(path, width="300")
        sizes = [Image.open(io.BytesIO(answer.content)).width for answer in (whole, narrow)]
        assert sizes == [900, 320]
        assert len(await asyncio.to_thread(objects.names)) == 2
        assert (await push(server.url, [retraction(test)])).status_code == 200
        assert (await get(path)).status_code == 404
        # Both sizes are deleted after the answer.
        await until(lambda: objects.names() == [])


async def test_a_backup_includes_the_pictures_or_says_where_they_are(objects: Objects, tmp_path: Path) -> None:
    body, data = drawing(2), ("--data", str(tmp_path / "data"))
    photos = ("--photos", f"s3://{BUCKET}/kept")
    with served(tmp_path / "data", *photos, environment=objects.environment) as server:
        await push(server.url, [source(1), reading(1, at=1, photos=[sha256(body).hexdigest()])])
        await asyncio.to_thread(put, server.url, body)
        there = (await get(f"{server.url}/api/v1/photos/{sha256(body).hexdigest()}")).content
    kept, less = tmp_path / "kept.zip", tmp_path / "less.zip"
    made = splitline("backup", str(kept), *data, *photos, environment=objects.environment)
    assert "and 1 pictures" in made.stdout, made.stderr
    said = splitline("backup", str(less), *data, *photos, "--without-photos", environment=objects.environment)
    assert f"the pictures were left in s3://{BUCKET}/kept" in said.stdout
    back = splitline("restore", str(kept), "--data", str(tmp_path / "new"))
    assert (back.returncode, back.stderr) == (0, "")
    with served(tmp_path / "new") as server:
        assert (await get(f"{server.url}/api/v1/photos/{sha256(body).hexdigest()}")).content == there


async def test_without_the_object_store_readings_are_accepted_and_pictures_wait(
    objects: Objects, place: Place, tell: Tell
) -> None:
    """Uploads are asked to retry; readings are stored and a server starts as usual."""
    body, other = drawing(3), drawing(4)
    tests = [reading(n, at=1, photos=[sha256(one).hexdigest()]) for n, one in enumerate((body, other), start=1)]
    options = (*place.options, "--photos", f"s3://{BUCKET}/away")
    environment = objects.environment
    with served(place.folder, *options, environment=environment) as server:
        await push(server.url, [source(1), *tests])
        assert (await asyncio.to_thread(put, server.url, body)).status_code == 201
        objects.stop()
        refused = await asyncio.to_thread(put, server.url, other)
        assert problem_of(refused, 503)["code"] == "unavailable"
        assert int(refused.headers["retry-after"]) > 0
        unseen = await get(f"{server.url}/api/v1/photos/{sha256(body).hexdigest()}")
        assert problem_of(unseen, 503)["code"] == "unavailable"
        back, more = retraction(tests[0]), [reading(n, at=1) for n in range(5, 9)]
        answers = (await push(server.url, [back, *more])).json()["answers"]
        assert [answer["status"] for answer in answers] == ["replaced", *["stored"] * len(more)]
    with served(place.folder, *options, environment=environment) as server:
        found = await asyncio.to_thread(counted, server.url, [source(1), tests[1], *more])
        objects.start()
        assert (await asyncio.to_thread(put, server.url, other)).status_code == 201
        tell("S3 store away", place.engine, found)
