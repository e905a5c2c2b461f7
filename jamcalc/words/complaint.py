"""The two streams of a command: a line on standard error, and what becomes of an answer that cannot be written."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Iterator

from jamcalc.errors import OutputError

MOST_COLUMNS, LEAST_COLUMNS = 80, 50  # of a line for eyes, as on the screens


def complain(text: str) -> None:
    """Print one line on standard error; where that is closed or full, nothing is said and the exit code stands.

    A terminal would break a long one in the middle of a word: there it is broken between two. A script reads one line.
    """
    if sys.stderr is not None:  # print would take standard output instead
        with contextlib.suppress(OSError):
            line = f"jamcalc: {text}"
            print(for_eyes(line) if sys.stderr.isatty() else line, file=sys.stderr)


def for_eyes(line: str, *, indent: int = 2) -> str:
    """The line broken between words at the width of the terminal, what goes on set in by `indent` columns."""
    import shutil  # a script need not load these
    import textwrap

    from jamcalc.words.phrases import loose, unbroken

    columns = max(LEAST_COLUMNS, min(MOST_COLUMNS, shutil.get_terminal_size((MOST_COLUMNS, 24)).columns))
    rows = textwrap.wrap(unbroken(line), columns, subsequent_indent=" " * indent, break_long_words=False, break_on_hyphens=False)
    return loose("\n".join(rows))


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
