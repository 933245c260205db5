"""Robust figures and steadiness: pure functions that know nothing of chemistry."""
