"""`splitline serve`: the field app and the API."""

import argparse
import os

from splitline import serving
from splitline.config import settings


def run(chosen: argparse.Namespace) -> int:
    """Prepare the database, listen, and serve until stopped. Raises what `serving.serve` raises, and `Unusable`."""
    return serving.serve(settings(vars(chosen), os.environ))
