"""The fonts that the browser tests use: only those of fonts.conf, whatever else is installed."""

from pathlib import Path

# The default font, and one whose lines are 17 % taller, like those of Noto Sans.
USUAL, TALL = "DejaVu Sans", "Open Sans"
# Environment variables that limit a browser to these fonts.
ONLY_THESE = {"FONTCONFIG_FILE": str(Path(__file__).with_name("fonts.conf"))}
