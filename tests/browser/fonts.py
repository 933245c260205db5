"""The fonts that browsers draw the tests in: those of fonts.conf, whatever else the machine has."""

from pathlib import Path

# What a page is drawn in that asks for no other, and one whose lines are 17 % taller, as those of Noto Sans are.
USUAL, TALL = "DejaVu Sans", "Open Sans"
# In the environment of a browser: it knows these fonts and no others.
ONLY_THESE = {"FONTCONFIG_FILE": str(Path(__file__).with_name("fonts.conf"))}
