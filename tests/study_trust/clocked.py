"""A real server whose clock is set from outside: `python clocked.py DATA CLOCK` serves a folder.

Its time is the modification time of the file CLOCK, so setting that sets the server's clock. The application takes its
clock as an argument; everything else is as in `splitline serve`.
"""

import os
import socket
import sys
from datetime import UTC, datetime
from pathlib import Path

import uvicorn

from splitline.app import create
from splitline.config import settings

QUICK = {"requests_a_minute": 0, "records_a_minute": 0}


def main() -> None:
    """Serve until stopped."""
    data, clock = sys.argv[1], Path(sys.argv[2])
    chosen = settings({"data": data, **QUICK}, os.environ)
    application = create(chosen, lambda: datetime.fromtimestamp(clock.stat().st_mtime, UTC))
    listener = socket.create_server(("127.0.0.1", 0))
    print(f"Splitline is listening on http://127.0.0.1:{listener.getsockname()[1]}", flush=True)
    uvicorn.Server(uvicorn.Config(application, access_log=False, log_level="warning")).run(sockets=[listener])


if __name__ == "__main__":
    main()
