"""From a socket to the application: one process to listen, connections with an end, uvicorn beneath."""
