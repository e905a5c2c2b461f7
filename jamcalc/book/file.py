"""The file of the book: opened, brought up to date, read or written in one transaction, and every fault of it as one line.

Rollback journal, synchronous=FULL: what was acknowledged is on the disk, whatever happens to the process or the power. Knows no batch, so
that a calculation that learns from the book loads nothing of what keeps one.
"""

from __future__ import annotations

import contextlib
import os
import sqlite3
import sys
from collections.abc import Iterator, Sequence
from datetime import date
from os import PathLike
from pathlib import Path
from types import TracebackType
from typing import Self

from jamcalc.book import place, schema
from jamcalc.errors import BookError, InputError
from jamcalc.kitchen.own_files import book_place, home_folder
from jamcalc.lessons import taught
from jamcalc.lessons.sums import SeasonSum, season_sums
from jamcalc.nouns.learned import Learned

WAIT_S = 10.0  # for another writer; an entry takes hundredths of a second


class BookFile:
    """The book as far as its file goes, and what it teaches. A context manager; a fault of the file raises BookError.

    Parameters
    ----------
    path : the file; None: JAMCALC_BOOK, or the platform's place for a user's data
    reading : True: never writes, and makes no file
    """

    def __init__(self, path: str | PathLike[str] | None = None, *, reading: bool = False) -> None:
        file_path = Path(path) if path is not None else book_place(os.environ, sys.platform, home_folder())
        if file_path is None:
            raise BookError("no home folder is known, and so no batch book: say where it is")
        self.path = file_path
        self.reading = reading
        self._connection: sqlite3.Connection | None = None

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self.close()

    def close(self) -> None:
        """Close the file; the next call opens it again."""
        if self._connection is not None:
            self._connection.close()
            self._connection = None

    # ------------------------------------------------------------ reading

    @property
    def exists(self) -> bool:
        """Whether there is anything at the path, empty or not."""
        return os.path.lexists(self.path)

    def sums(self) -> tuple[SeasonSum, ...]:
        """What the batches teach, by topic, subject and season (see lessons)."""
        with self._reads() as connection:
            return () if connection is None else season_sums(connection)

    def learned(self, items: Sequence[str], year: int | None = None) -> Learned:
        """What the book teaches of the kitchen and of some fruits (keys), as seen in a year (this one)."""
        with self._reads() as connection:
            return Learned() if connection is None else taught.learned(connection, items, year or date.today().year)

    def copy(self) -> bytes:
        """The whole file as it is at one moment, while others may be writing in it: a backup. Raises BookError where there is none."""
        with self._reads() as connection:
            if connection is None:
                raise BookError(f"{place.named(self.path)} is not there: nothing to back up")
            return connection.serialize()

    # ------------------------------------------------------------ the file

    @contextlib.contextmanager
    def _reads(self) -> Iterator[sqlite3.Connection | None]:
        """The open file with a transaction of reading; None where there is none yet."""
        with self._faults("read"):
            connection = self._opened(make=False)
            if connection is None:
                yield None
                return
            connection.execute("BEGIN")
            try:
                yield connection
            finally:
                with contextlib.suppress(sqlite3.Error):
                    connection.rollback()

    @contextlib.contextmanager
    def _writes(self) -> Iterator[sqlite3.Connection]:
        """One transaction: on the disk as a whole at the end of the block, or not at all where anything goes wrong."""
        if self.reading:
            raise BookError(f"{place.named(self.path)} was opened for reading only")
        with self._faults("written"):
            connection = self._opened(make=True)
            assert connection is not None
            with _transaction(connection):
                yield connection

    def _opened(self, *, make: bool) -> sqlite3.Connection | None:
        if (fault := place.fault(self.path, schema.newest())) is not None:
            raise BookError(fault)
        there = self.exists and self.path.stat().st_size > 0
        if not there and not make:
            self.close()
            return None
        if self._connection is None:
            if make:
                _make_folder(self.path)
            self._connection = _connect(self.path)
        version, application, tables = (
            self._connection.execute(text).fetchone()[0]
            for text in ("PRAGMA user_version", "PRAGMA application_id", "SELECT count(*) FROM sqlite_master")
        )
        if tables and (fault := place.whose(self.path, application, version, schema.newest())) is not None:
            raise BookError(fault)
        if tables and version < schema.newest() and not make:  # an older book is brought up to date by whoever reads it first
            with _transaction(self._connection):
                pass
        return self._connection if tables or make else None

    @contextlib.contextmanager
    def _faults(self, done: str) -> Iterator[None]:
        """What SQLite says of the file, in one line."""
        try:
            yield
        except sqlite3.Error as error:
            self.close()
            raise BookError(f"{place.named(self.path)} {_why(error, done)}") from error
        except (UnicodeError, OverflowError) as error:  # text that no file can hold
            raise BookError(f"{place.named(self.path)} cannot hold this: {type(error).__name__}") from error
        except ValueError as error:
            if isinstance(error, InputError):
                raise
            self.close()
            raise BookError(f"{place.named(self.path)} holds what it cannot: {error}; put a backup in its place") from error


def _make_folder(path: Path) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BookError(f"{place.named(path)} cannot be made: {(error.strerror or 'no reason given').lower()}") from error


def _connect(path: Path) -> sqlite3.Connection:
    """An open file, set to lose nothing; one that may only be read is opened for reading by SQLite itself."""
    connection = sqlite3.connect(f"{path.absolute().as_uri()}?mode=rwc", uri=True, timeout=WAIT_S, isolation_level=None)
    connection.row_factory = sqlite3.Row
    for setting in ("trusted_schema = OFF", "foreign_keys = ON", "journal_mode = DELETE", "synchronous = FULL", "cell_size_check = ON"):
        connection.execute(f"PRAGMA {setting}")
    return connection


@contextlib.contextmanager
def _transaction(connection: sqlite3.Connection) -> Iterator[None]:
    """On the disk as a whole at the end of the block, or not at all where anything goes wrong; the tables are brought up to date first."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        version = connection.execute("PRAGMA user_version").fetchone()[0]
        if version < schema.newest():
            from jamcalc.book import derived

            schema.bring_up_to_date(connection, version)
            derived.derive_all(connection)
        yield
        connection.execute("COMMIT")
    except BaseException:
        with contextlib.suppress(sqlite3.Error):
            connection.rollback()
        raise


def _why(error: sqlite3.Error, done: str) -> str:
    """SQLite's reason in the words of a kitchen."""
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    known = {
        sqlite3.SQLITE_BUSY: "is being written by another program: try again in a moment",
        sqlite3.SQLITE_LOCKED: "is being written by another program: try again in a moment",
        sqlite3.SQLITE_READONLY: "cannot be written: it is read-only",
        sqlite3.SQLITE_PERM: f"cannot be {done}: permission denied",
        sqlite3.SQLITE_AUTH: f"cannot be {done}: permission denied",
        sqlite3.SQLITE_FULL: "cannot be written: the disk is full",
        sqlite3.SQLITE_IOERR: f"cannot be {done}: the disk is full, or fails",
        sqlite3.SQLITE_CANTOPEN: f"cannot be {done}: the file or its folder does not let it",
        sqlite3.SQLITE_NOTADB: "is damaged, or no book: put a backup in its place, or name another with --book",
        sqlite3.SQLITE_CORRUPT: "is damaged: put a backup in its place, or name another with --book",
        sqlite3.SQLITE_CONSTRAINT: "refuses this: a number or a word in it is none that a batch can have",
        sqlite3.SQLITE_TOOBIG: "cannot hold this: it is too long",
    }
    return known.get(code, "is damaged, or was changed by another program: put a backup in its place, or name another with --book")
