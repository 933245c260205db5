"""The server under the unit's restrictions, as far as they can be applied without systemd."""

import ctypes
import os
import resource
import subprocess
import sys
from hashlib import sha256
from pathlib import Path

import httpx
import pytest

from helpers.api_client import headers
from helpers.examples import drawing, reading, source
from helpers.server_process import START_SECONDS, address_of
from helpers.system import free_port
from server.deploy.files import unit, unit_environment

PR_SET_MDWE, REFUSE_EXEC_GAIN = 65, 1
PR_SET_NO_NEW_PRIVS = 38
LIBRARY = ctypes.CDLL(None, use_errno=True)


def restricted() -> None:
    """In the server's process before it starts: no writable executable memory, no new privileges, no core, umask."""
    if LIBRARY.prctl(PR_SET_MDWE, REFUSE_EXEC_GAIN, 0, 0, 0) or LIBRARY.prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0):
        raise OSError(ctypes.get_errno(), "prctl")
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    os.umask(0o027)


def can_refuse() -> bool:
    """Whether the kernel can refuse writable executable memory (Linux 6.3); tried in a separate process."""
    ask = f"import ctypes, sys; sys.exit(-ctypes.CDLL(None).prctl({PR_SET_MDWE}, {REFUSE_EXEC_GAIN}, 0, 0, 0))"
    return subprocess.run([sys.executable, "-c", ask], check=False).returncode == 0


@pytest.mark.skipif(not can_refuse(), reason="the kernel is older than 6.3")
def test_the_server_works_within_the_units_restrictions(tmp_path: Path) -> None:
    settings = dict(unit())
    taken = ("MemoryDenyWriteExecute", "NoNewPrivileges", "LimitCORE", "UMask")
    assert [settings[name] for name in taken] == ["yes", "yes", "0", "0027"]
    command = [sys.executable, "-m", "splitline", "serve", "--port", "0"]
    environment = {
        **os.environ,
        **unit_environment(),
        "SPLITLINE_DATA": str(tmp_path / "data"),
        "SPLITLINE_OPERATIONS": f"127.0.0.1:{free_port()}",
    }
    body = drawing(1, size=(900, 600))
    digest = sha256(body).hexdigest()
    with (
        (tmp_path / "log").open("wb") as log,
        subprocess.Popen(
            command, env=environment, stdout=subprocess.PIPE, stderr=log, text=True, preexec_fn=restricted
        ) as server,
    ):
        try:
            url = address_of(server, tmp_path / "log")
            with httpx.Client(base_url=url, timeout=60, verify=False) as client:
                records = [source(1), reading(1, at=1, photos=[digest])]
                answer = client.post("/api/v1/push", json={"records": records}, headers=headers())
                assert [one["status"] for one in answer.json()["answers"]] == ["stored", "stored"]
                kept = client.put(f"/api/v1/photos/{digest}", content=body, headers=headers(content="image/jpeg"))
                assert kept.status_code == 201
        finally:
            server.terminate()
            server.wait(START_SECONDS)
    for path in (tmp_path / "data").rglob("*"):
        assert path.stat().st_mode & 0o027 == 0, "nobody else can read or write it"
