"""One batch in, one answer per record out: the only way in, for phones, files and the demo."""
