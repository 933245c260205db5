"""A server's data as files: the public dataset of a region, and backup and restore of everything."""
