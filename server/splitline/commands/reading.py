"""Parses numbers in options. Every fault becomes one sentence."""

import argparse
import math


def number(text: str) -> float:
    """Return a finite number from an option's text."""
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise argparse.ArgumentTypeError(f'"{text}" is not a number; give one, such as 83.5')
    return value


def not_negative(text: str) -> float:
    """Return a number of 0 or more from an option's text."""
    value = number(text)
    if value < 0.0:
        raise argparse.ArgumentTypeError(f'"{text}" is below 0')
    return value
