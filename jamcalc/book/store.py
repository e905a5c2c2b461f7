"""The book itself: batches in and out of its file, one transaction for each thing that is written. Knows nothing of chemistry."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import date
from typing import Any

from jamcalc.book import derived, place, rows
from jamcalc.book.file import BookFile
from jamcalc.errors import InputError, NotPossible, UnknownItem
from jamcalc.kept.entries import MOST_ENTRIES, MOST_NUMBER, Entry, Kept
from jamcalc.kept.now import now

LIST = 20  # batches, where no number is asked for


class Book(BookFile):
    """The batches that were kept, oldest first by number. A context manager; a fault of the file raises BookError.

    Parameters
    ----------
    path : the file; None: JAMCALC_BOOK, or the platform's place for a user's data
    reading : True: never writes, and makes no file

    A file that is not there is an empty book: it is made with the first batch.
    """

    def batch(self, number: int) -> Kept:
        """One batch with its papers. Raises UnknownItem where there is none of that number."""
        with self._reads() as connection:
            batch_rows = [] if connection is None else connection.execute("SELECT * FROM batch WHERE number = ?", (number,)).fetchall()
            if connection is not None and batch_rows:
                return rows.batches(connection, batch_rows, papers=True)[0]
            raise self._unknown(number, connection)

    def _unknown(self, number: int, connection: sqlite3.Connection | None) -> UnknownItem:
        last = None if connection is None else connection.execute("SELECT max(number) FROM batch").fetchone()[0]
        return UnknownItem(f"no batch {number} in {place.named(self.path)}" + (f": the last one is {last}" if last else ", which is empty"))

    def batches(self, *, last: int | None = None, season: int | None = None, papers: bool = False) -> tuple[Kept, ...]:
        """The batches, lowest number first: all of them, the `last` so many, or those made in the year `season`."""
        with self._reads() as connection:
            if connection is None:
                return ()
            most = -1 if last is None else last
            batch_rows = connection.execute("SELECT * FROM batch ORDER BY number DESC LIMIT ?", (most,)).fetchall()[::-1]
            kept = rows.batches(connection, batch_rows, papers=papers)
        return kept if season is None else tuple(batch for batch in kept if now(batch).made.year == season)

    def with_jars(self) -> tuple[Kept, ...]:
        """The batches of which jars are left, lowest number first."""
        with self._reads() as connection:
            if connection is None:
                return ()
            batch_rows = connection.execute(
                "SELECT batch.* FROM left_over JOIN batch ON number = left_over.batch ORDER BY number"
            ).fetchall()
            return rows.batches(connection, batch_rows, papers=False)

    def count(self) -> int:
        """How many batches there are."""
        with self._reads() as connection:
            return 0 if connection is None else int(connection.execute("SELECT count(*) FROM batch").fetchone()[0])

    def set_aside(self, number: int) -> tuple[str, ...]:
        """What a batch says that lies too far from all others to be learned from: topics (see lessons)."""
        with self._reads() as connection:
            return () if connection is None else derived.set_aside(connection, number)

    def rows(self) -> list[dict[str, Any]]:
        """Every batch as a flat dictionary of plain values."""
        from jamcalc.kept.record import flat

        today = date.today()
        return [flat(batch, today) for batch in self.batches()]

    # ------------------------------------------------------------ writing

    def keep(self, batch: Kept) -> int:
        """Add a batch under the next free number, and return that once it is safe on the disk."""
        with self._writes() as connection:
            last = connection.execute("SELECT max(number) FROM batch").fetchone()[0] or 0
            if last >= MOST_NUMBER:
                raise NotPossible(f"{place.named(self.path)} is full: no number is left for another batch")
            kept = replace(batch, number=last + 1)
            rows.add_batch(connection, kept)
            derived.add_up(connection, derived.derive(connection, kept))
        return kept.number

    def enter(self, number: int, entry: Callable[[Kept], Entry]) -> Kept:
        """Add an entry to a batch: `entry` makes it from the batch as it stands when nobody else can write. Returns the batch with it."""
        with self._writes() as connection:
            batch_rows = connection.execute("SELECT * FROM batch WHERE number = ?", (number,)).fetchall()
            if not batch_rows:
                raise self._unknown(number, connection)
            kept = rows.batches(connection, batch_rows, papers=False)[0]
            if len(kept.entries) >= MOST_ENTRIES:
                raise NotPossible(f"batch {number} has {MOST_ENTRIES} entries, and takes no more")
            added = entry(kept)
            rows.add_entry(connection, number, added)
            kept = replace(kept, entries=(*kept.entries, added))
            derived.add_up(connection, derived.derive(connection, kept))
        return kept

    def add(self, batches: Iterable[Kept]) -> dict[int, int]:
        """Add batches of another book, all or none; returns the number that each one got, by the number it had.

        A batch keeps its number where that is free. One that is here already (by its uid) is not added twice: it takes what was
        entered about it later, or stands as it is. Raises InputError where the two tell different stories.
        """
        given: dict[int, int] = {}
        topics: set[derived.Topic] = set()
        with self._writes() as connection:
            for batch in batches:
                added = self._add(connection, batch)
                topics |= derived.derive(connection, added)
                given[batch.number] = added.number
            derived.add_up(connection, topics)
        return given

    def _add(self, connection: sqlite3.Connection, batch: Kept) -> Kept:
        """Add a batch of another book, or what it has more than ours; returns it as it stands here."""
        here = connection.execute("SELECT * FROM batch WHERE uid = ?", (batch.uid,)).fetchall()
        if here:
            kept = rows.batches(connection, here, papers=True)[0]
            common = min(len(kept.entries), len(batch.entries))
            answered_alike = replace(kept, number=batch.number, entries=()) == replace(batch, entries=())
            if not answered_alike or kept.entries[:common] != batch.entries[:common]:
                raise InputError(f"batch {batch.number} is number {kept.number} here, and the two differ: import it into an empty book")
            for entry in batch.entries[common:]:
                rows.add_entry(connection, kept.number, entry)
            return replace(kept, entries=max(kept.entries, batch.entries, key=len))
        taken = connection.execute("SELECT 1 FROM batch WHERE number = ?", (batch.number,)).fetchone()
        if taken or not batch.number:
            batch = replace(batch, number=(connection.execute("SELECT max(number) FROM batch").fetchone()[0] or 0) + 1)
        rows.add_batch(connection, batch)
        return batch
