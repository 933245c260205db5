"""The database: the only place with SQL."""
