"""The command line: `splitline COMMAND`.

An error is one sentence on standard error; exit status 2 for bad input, 1 otherwise. Ctrl-C (130) and a closed pipe
(141) end a command silently.
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
"""Exit status by which shells report a command ended by Ctrl-C."""
UNREAD = 141
"""Exit status by which shells report a command that wrote to a closed pipe."""


class Parser(argparse.ArgumentParser):
    """A parser that reports bad options in one sentence."""

    def error(self, message: str) -> NoReturn:
        """Print the error and exit with status 2."""
        print(f"{message[:1].upper()}{message[1:]}; see {self.prog} --help.", file=sys.stderr)
        raise SystemExit(2)

    def _print_message(self, message: str, file: "SupportsWrite[str] | None" = None) -> None:
        # argparse itself ignores a full device or a closed pipe.
        (file or sys.stderr).write(message)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status."""
    # Set before numpy is imported, and passed on to the processes we start: on arrays as small as ours a second thread
    # of the linear algebra only waits, and takes a core from requests.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    _open_closed_streams()
    try:
        status = _run(arguments)
        sys.stdout.flush()
        return status
    except BrokenPipeError:
        status = UNREAD
    except (OSError, MemoryError) as fault:
        status = 1
        # If standard error fails too, there is nowhere left to report it.
        with suppress(OSError):
            print(f"The command could not finish: {_reason(fault)}.", file=sys.stderr)
    except KeyboardInterrupt:
        status = INTERRUPTED
    # Discard what is still buffered; otherwise Python waits for it, or complains about it, at exit.
    nowhere = os.open(os.devnull, os.O_WRONLY)
    for stream in (sys.stdout, sys.stderr):
        os.dup2(nowhere, stream.fileno())
    return status


def _reason(fault: OSError | MemoryError) -> str:
    if isinstance(fault, MemoryError):
        return "not enough memory"
    where = f"{fault.filename}: " if fault.filename else ""
    return f"{where}{fault.strerror or fault}"


def _open_closed_streams() -> None:
    """Open the null device in place of a closed stream (`>&-`), so that no file, such as a database, takes its number.

    Characters that the terminal cannot show, and file names that are not valid text, are written as escapes.
    """
    for number, name in enumerate(("stdin", "stdout", "stderr")):
        if getattr(sys, name) is None:
            setattr(sys, name, open(os.devnull, "r+" if number else "r"))  # noqa: PTH123, SIM115 - open to the end
    # Fails where the stream has been replaced since Python started; it is then left as it was.
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
    except SystemExit as end:  # after --help or bad options
        return int(end.code or 0)
    except Unusable as fault:
        print(_sentences(fault), file=sys.stderr)
        return 2
    except SplitlineError as fault:
        print(str(fault), file=sys.stderr)
        return 1


def _sentences(fault: Unusable) -> str:
    # Imported here because only errors need it.
    from splitline.checking.wording import report

    return " ".join(report(problem).sentence for problem in fault.problems)
