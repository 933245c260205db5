"""HTTP: handlers of a few lines."""
