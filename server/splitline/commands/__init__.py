"""One module per command of `splitline`, each with `add(subparsers)` and `run(args)`."""
