"""Moderation: withheld and released records, changes of sources, and contributors as a whole."""
