"""`python -m splitline` does what `splitline` does."""

import sys

from splitline.cli import main

sys.exit(main())
