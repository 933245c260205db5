"""What `splitline` does: `options` has what each command can be given, and each has a module with `run(chosen)`."""
