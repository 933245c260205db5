"""The installed command in a process of its own, as another program drives it."""

import subprocess
import sys
from collections.abc import Mapping


def splitline(*arguments: str, environment: Mapping[str, str] | None = None) -> subprocess.CompletedProcess[str]:
    """Run one command to its end."""
    command = [sys.executable, "-m", "splitline", *arguments]
    return subprocess.run(command, capture_output=True, text=True, check=False, env=environment)
