"""What a user's file says, within bounds: so many bytes of text, never waited for without end, and TOML of no endless piece.

The bounds stand before tomllib, whose work and memory grow with the square of the dots in a key. Knows nothing of what the keys
mean.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

MOST_LINES = 1000
MOST_DOTS = 8  # in one key; no key of ours has any
MOST_DEPTH = 8  # of brackets in brackets; ours have one
OPEN_ALREADY = ("/dev/stdin", "/dev/fd/")  # by the shell, as for <(command): somebody writes there. A pipe with a name may have nobody

# All that may hold or close a bracket, a dot or a line. A string that is not closed goes to the end, so that nothing is read twice.
_TOKEN = re.compile(
    r'"""(?:[^\\]|\\.|\\\Z)*?(?:"{3,5}|\Z)' r"|'''.*?(?:'{3,5}|\Z)" r'|"(?:[^"\\\n]|\\[^\n])*"?' r"|'[^'\n]*'?" r"|#[^\n]*|[\[\]{}=,.\n]",
    re.DOTALL,
)


class Unreadable(ValueError):
    """Why a file cannot be read, in words that go on after its name."""


def content(path: Path, most_bytes: int) -> bytes:
    """The bytes of a file, one more than the most at the most. Raises OSError, and Unreadable for what may never give any."""
    if not path.is_file() and not str(path).startswith(OPEN_ALREADY):
        path.stat()  # says what is not there
        raise Unreadable("is not a file; to read what another command prints, write - instead")
    with path.open("rb") as file:
        return file.read(most_bytes + 1)


def decoded(raw: bytes | str, most_bytes: int) -> str:
    """The text of a file that is small enough and is text. Raises Unreadable."""
    if len(raw) > most_bytes:
        raise Unreadable(f"more than {most_bytes // 1000} KB of text: too large")
    if isinstance(raw, str):
        return raw
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise Unreadable("saved as UTF-16; save it again as UTF-8")
    try:
        return raw.decode("utf-8-sig").replace("\r\n", "\n")  # Windows editors put a mark in front; it does no harm
    except UnicodeDecodeError as error:
        if b"\0" in raw:
            raise Unreadable("not a text file") from None
        raise Unreadable(f"not UTF-8 text (byte {error.start + 1}); save it again as UTF-8") from None


def toml(text: str) -> dict[str, Any]:
    """The table that the text holds. Raises Unreadable for what is no TOML, or is beyond the bounds."""
    if text.count("\n") > MOST_LINES:
        raise Unreadable(f"more than {MOST_LINES} lines")
    depth = dots = 0
    for token in _TOKEN.finditer(text):
        mark = token[0]
        dots = dots + 1 if mark == "." else 0 if mark in "[]{}=,\n" else dots
        depth += (mark in "[{") - (mark in "]}")
        if depth > MOST_DEPTH or dots > MOST_DOTS:
            raise Unreadable("nested too deeply")
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise Unreadable("nested too deeply") from None
    except ValueError as error:  # TOMLDecodeError, or a number or date that Python itself refuses
        raise Unreadable(f"not TOML: {error}") from None


def statement_end(lines: Sequence[str], first: int, most: int) -> int | None:
    """The number of the line after the statement that begins in line `first`; None where `most` lines do not close it."""
    depth, number = 0, first
    for token in _TOKEN.finditer("\n".join(lines[first : first + most]) + "\n"):
        mark = token[0]
        depth += (mark in "[{") - (mark in "]}")
        number += mark.count("\n")
        if mark == "\n" and depth <= 0:
            return number
    return None
