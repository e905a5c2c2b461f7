"""A line on standard error: what is wrong, or what is worth knowing beside an answer. Called by cli and by the commands."""

from __future__ import annotations

import contextlib
import sys


def complain(text: str) -> None:
    """Print one line on standard error; where that is closed or full, nothing is said and the exit code stands."""
    if sys.stderr is not None:  # print would take standard output instead
        with contextlib.suppress(OSError):
            print(f"jamcalc: {text}", file=sys.stderr)
