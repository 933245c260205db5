"""The command in a process of its own, as another program drives it."""

import os
import subprocess
import tempfile
from collections.abc import Mapping

from forking import fork

PATIENCE = 120


def splitline(*arguments: str, environment: Mapping[str, str] = os.environ) -> subprocess.CompletedProcess[str]:
    """Run one command to its end. Raises subprocess.TimeoutExpired."""
    with tempfile.TemporaryFile("w+") as output, tempfile.TemporaryFile("w+") as errors:
        process = fork(arguments, environment, output.fileno(), errors.fileno())
        try:
            status = process.wait(PATIENCE)
        finally:
            process.kill()
        output.seek(0)
        errors.seek(0)
        return subprocess.CompletedProcess(arguments, status, output.read(), errors.read())
