"""Splitline: how much ethanol is in the fuel, how sure that is, and which source is steady."""

__version__ = "0.1.0"
