"""Robust figures and steadiness: pure functions that know nothing of chemistry.

The app has the same functions in pwa/src/statistics, so a fresh test moves its list before any exchange.
"""
