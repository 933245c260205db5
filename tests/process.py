"""The installed command in a process of its own, as another program drives it."""

import subprocess
import sys


def splitline(*arguments: str) -> subprocess.CompletedProcess[str]:
    """Run one command to its end."""
    return subprocess.run([sys.executable, "-m", "splitline", *arguments], capture_output=True, text=True, check=False)
