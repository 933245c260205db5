"""The `splitline` commands: `options` declares each one's options; each has a module with `run(chosen)`."""
