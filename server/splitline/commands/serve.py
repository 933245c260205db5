"""`splitline serve`: the field app and the API."""

import argparse
import os

from splitline.config import settings
from splitline.serving import serve


def run(chosen: argparse.Namespace) -> int:
    """Prepare the database and serve until stopped. Raises what `serving.serve` raises, and `Unusable`."""
    return serve.serve(settings(vars(chosen), os.environ))
