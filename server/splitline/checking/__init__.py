"""Checks on incoming records: one small function per rule, each with a code."""
