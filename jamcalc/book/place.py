"""A look at the first bytes of the book, which costs a calculation next to nothing.

Opens no database: a calculation that does not ask the book need not load one.
"""

from __future__ import annotations

import stat
from pathlib import Path

from jamcalc.words.units import shown

APPLICATION = 0x4A414D42  # "JAMB", so that another program's database is not taken for a book
HEADER_BYTES = 100
# The SQLite database file format, section 1.3 "The Database Header" (sqlite.org/fileformat2.html): 16 bytes of name,
# user_version at 60, application_id at 68, both big-endian.
_MAGIC = b"SQLite format 3\x00"
_VERSION_AT, _APPLICATION_AT = 60, 68


def named(path: Path) -> str:
    """The book, as a message calls it."""
    return f"the book {shown(str(path), 100)}"


def fault(path: Path, newest: int) -> str | None:
    """What stands in the way of reading a book, seen from outside; None where nothing does, or where there is no file.

    Parameters
    ----------
    newest : the highest version of the tables that is known here
    """
    try:
        kind = path.stat().st_mode
        if not stat.S_ISREG(kind):  # a pipe would wait for ever
            return f"{named(path)} is not a file: name another with --book"
        with path.open("rb") as file:
            header = file.read(HEADER_BYTES)
    except (FileNotFoundError, NotADirectoryError):
        return None
    except (OSError, ValueError) as error:
        why = (error.strerror or "no reason given").lower() if isinstance(error, OSError) else "there can be no such name"
        return f"{named(path)} cannot be opened: {why}"
    # An empty file becomes a book with the first batch; with a journal beside it, SQLite has to put the file right first.
    if not header or path.with_name(f"{path.name}-journal").exists():
        return None
    if len(header) < HEADER_BYTES or not header.startswith(_MAGIC):
        return f"{named(path)} is damaged, or no book: put a backup in its place, or name another with --book"
    version, application = (int.from_bytes(header[at : at + 4], "big") for at in (_VERSION_AT, _APPLICATION_AT))
    return whose(path, application, version, newest)


def whose(path: Path, application: int, version: int, newest: int) -> str | None:
    """Whether a database is a book that can be read here: what is wrong with it, or None."""
    if application != APPLICATION:
        return f"{named(path)} is a database of another program: name another file with --book"
    if version > newest:
        return f"{named(path)} was written by a newer jamcalc: install that one to read it"
    return None
