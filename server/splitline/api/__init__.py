"""The HTTP API: short handlers that pass requests on."""
