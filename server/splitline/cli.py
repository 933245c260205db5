"""The command line: `splitline COMMAND`.

Errors are one sentence on standard error; exit 2 for bad input, 1 otherwise. Ctrl-C (130) and a pipe that nobody reads
on (141) end a command without a word.
"""

import argparse
import io
import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from importlib import import_module
from typing import TYPE_CHECKING, NoReturn

from splitline import __version__
from splitline.commands.options import add_commands
from splitline.errors import SplitlineError, Unusable

if TYPE_CHECKING:
    from _typeshed import SupportsWrite

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

    def _print_message(self, message: str, file: "SupportsWrite[str] | None" = None) -> None:
        # argparse itself says nothing of a device that is full, or of a pipe that nobody reads on.
        (file or sys.stderr).write(message)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status."""
    _open_what_is_closed()
    try:
        status = _run(arguments)
        sys.stdout.flush()
        return status
    except BrokenPipeError:
        status = UNREAD
    except (OSError, MemoryError) as fault:
        status = 1
        # What cannot be written either is no reason to say more.
        with suppress(OSError):
            print(f"The command could not finish: {_reason(fault)}.", file=sys.stderr)
    except KeyboardInterrupt:
        status = INTERRUPTED
    # What is still to be written goes nowhere; else Python would wait for it, or complain of it, when it ends.
    nowhere = os.open(os.devnull, os.O_WRONLY)
    for stream in (sys.stdout, sys.stderr):
        os.dup2(nowhere, stream.fileno())
    return status


def _reason(fault: OSError | MemoryError) -> str:
    if isinstance(fault, MemoryError):
        return "not enough memory"
    where = f"{fault.filename}: " if fault.filename else ""
    return f"{where}{fault.strerror or fault}"


def _open_what_is_closed() -> None:
    """Give a stream that was closed (`>&-`) to nowhere; else the next file, such as a database, would take its number.

    A name that is no text, or a sign that the terminal does not know, is written with its codes.
    """
    for number, name in enumerate(("stdin", "stdout", "stderr")):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, "r+" if number else "r"))  # noqa: PTH123, SIM115 - open to the end
    # It fails where another file was put under the stream since Python started, and then the stream is as it was.
    with suppress(OSError):
        if isinstance(sys.stdout, io.TextIOWrapper):
            sys.stdout.reconfigure(errors="backslashreplace")


def _run(arguments: Sequence[str] | None) -> int:
    parser = Parser(prog="splitline", description="Tube tests of ethanol fuel, measured and shared.")
    parser.add_argument("--version", action="version", version=f"splitline {__version__}")
    add_commands(parser)
    try:
        chosen = parser.parse_args(arguments)
        return int(import_module(f"splitline.commands.{chosen.command}").run(chosen))
    except SystemExit as end:  # after --help, and after options that cannot be used
        return int(end.code or 0)
    except Unusable as fault:
        print(_sentences(fault), file=sys.stderr)
        return 2
    except SplitlineError as fault:
        print(str(fault), file=sys.stderr)
        return 1


def _sentences(fault: Unusable) -> str:
    # Loaded only where something went wrong.
    from splitline.checking.wording import tell

    return " ".join(tell(problem).sentence for problem in fault.problems)
