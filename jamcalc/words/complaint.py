"""The two streams of a command: a line on standard error, and what becomes of an answer that cannot be written."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Iterator

from jamcalc.errors import OutputError


def complain(text: str) -> None:
    """Print one line on standard error; where that is closed or full, nothing is said and the exit code stands."""
    if sys.stderr is not None:  # print would take standard output instead
        with contextlib.suppress(OSError):
            print(f"jamcalc: {text}", file=sys.stderr)


@contextlib.contextmanager
def writing() -> Iterator[None]:
    """Around whatever writes to standard output: OutputError, with the system's reason, where it will not take it.

    A reader that has gone is another matter: BrokenPipeError goes through.
    """
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as error:
        raise OutputError(f"the answer cannot be written: {(error.strerror or 'no reason given').lower()}") from error


def fault(error: Exception) -> str:
    """A defect of the program in one line, with its place in the source, for whoever mends it."""
    from pathlib import Path

    at = error.__traceback__
    while at is not None and at.tb_next is not None:
        at = at.tb_next
    where = "" if at is None else f" ({Path(at.tb_frame.f_code.co_filename).name}, line {at.tb_lineno})"
    return f"a fault of the program, not yours: {type(error).__name__}{where}; please report it with what you typed"
