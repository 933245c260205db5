"""The command line: `splitline COMMAND`.

Errors are one sentence on standard error; exit 2 for bad input, 1 otherwise, 130 after Ctrl-C, 141 when
nobody reads on.
"""

import argparse
import os
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import NoReturn

from splitline import __version__
from splitline.commands.options import add_commands
from splitline.errors import SplitlineError, Unusable

INTERRUPTED = 130
"""What shells say of a command that Ctrl-C ended."""
UNREAD = 141
"""What shells say of a command that wrote into a closed pipe."""


class Parser(argparse.ArgumentParser):
    """A parser that says what is wrong with the options in one sentence."""

    def error(self, message: str) -> NoReturn:
        """Leave with exit status 2."""
        print(f"{message[:1].upper()}{message[1:]}; see {self.prog} --help.", file=sys.stderr)
        raise SystemExit(2)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status."""
    try:
        try:
            return _run(arguments)
        finally:
            sys.stdout.flush()
    except BrokenPipeError:
        # What is still to be written goes nowhere; else Python would complain of it when it ends.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return UNREAD


def _run(arguments: Sequence[str] | None) -> int:
    parser = Parser(prog="splitline", description="Tube tests of ethanol fuel, measured and shared.")
    parser.add_argument("--version", action="version", version=f"splitline {__version__}")
    add_commands(parser)
    chosen = parser.parse_args(arguments)
    try:
        return int(import_module(f"splitline.commands.{chosen.command}").run(chosen))
    except Unusable as fault:
        print(_sentences(fault), file=sys.stderr)
        return 2
    except SplitlineError as fault:
        print(str(fault), file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        return INTERRUPTED


def _sentences(fault: Unusable) -> str:
    # Loaded only where something went wrong.
    from splitline.checking.wording import tell

    return " ".join(tell(problem).sentence for problem in fault.problems)
