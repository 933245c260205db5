"""Everything that is kept: the only place with SQL."""
