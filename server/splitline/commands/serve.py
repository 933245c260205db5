"""`splitline serve`: the field app and the API."""

import argparse
import os

from splitline.config import settings


def add(subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command and its options; each can be set as SPLITLINE_... too."""
    parser = subparsers.add_parser(
        "serve",
        help="serve the field app and the API",
        description="Serve the field app and the API. Each option can be set as SPLITLINE_... in the environment too.",
    )
    parser.add_argument("--host", help="address to listen on (127.0.0.1)")
    parser.add_argument("--port", help="port to listen on (8484)")
    parser.add_argument("--data", metavar="DIR", help="folder of the database and the pictures (data)")
    parser.add_argument("--database", metavar="URL", help="sqlite:///FILE or postgresql://... (in the data folder)")
    parser.add_argument("--photos", metavar="URL", help="a folder, or an object store such as s3://... (data folder)")
    parser.add_argument("--workers", metavar="N", help="server processes (1)")
    parser.add_argument("--demo", action="store_true", default=None, help="fill an empty database with invented data")
    parser.add_argument("--log", metavar="FORM", help="form of the log on standard error: text or json (text)")
    parser.add_argument("--tls-cert", metavar="FILE", help="certificate chain (PEM), to serve https without a proxy")
    parser.add_argument("--tls-key", metavar="FILE", help="its private key (PEM)")
    parser.add_argument(
        "--requests-a-minute", metavar="N", help="requests a minute from one address (1200; 0: no limit)"
    )
    parser.add_argument(
        "--records-a-minute", metavar="N", help="records a minute with one secret; a picture counts as 10 (6000)"
    )
    parser.add_argument(
        "--trusted-proxies",
        metavar="LIST",
        help="addresses or networks of proxies whose X-Forwarded-For is taken, or none (127.0.0.1,::1)",
    )
    parser.set_defaults(run=run)


def run(chosen: argparse.Namespace) -> int:
    """Prepare the database, listen, and serve until stopped."""
    what = settings(vars(chosen), os.environ)
    # Other commands need no web server: they start without loading one.
    from splitline.serving import serve

    return serve(what)
