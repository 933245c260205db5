"""From sockets to the application: one process that listens, connections with time limits, uvicorn underneath."""
