"""Figures of sources, months and regions, computed from the records and updated after every change."""
