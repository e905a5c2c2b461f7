"""The book from Python: `jamcalc.Book`, which keeps answers, takes the words of a cook, and gives typed entries and plain rows.

with jamcalc.Book("book.sqlite") as book:
    number = book.keep(jamcalc.batch(["3 lb plums"], sweetener="honey"))
    book.finish(number, jars="6 half-pints", ph=3.52, stored="pantry")
    book.take(number, 2)
    answer = jamcalc.batch(["3 lb plums"], sweetener="honey", book=book)    # from what the book teaches
    frame = pandas.DataFrame(book.rows())       # or any other library that takes dictionaries
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from types import SimpleNamespace
from typing import Any

from jamcalc.book import store
from jamcalc.book.finishing import OPTIONS, entry_from, taken_from
from jamcalc.book.keeping import kept
from jamcalc.errors import InputError
from jamcalc.kept.entries import FOUND, PLACES, Kept
from jamcalc.kept.shelf import ShelfRow, rows
from jamcalc.nouns.outcome import BatchResult
from jamcalc.words.lists import either

Said = str | float | Sequence[str] | date | None
MANY = ("jars", "used", "unsealed")


class Book(store.Book):
    """The batch book; a context manager. Every method raises JamcalcError, whose text is one line, and BookError for the file.

    Parameters
    ----------
    path : the file; None: JAMCALC_BOOK, or the platform's place for a user's data
    reading : True: never writes, and makes no file
    """

    def keep(self, batch: Kept | BatchResult, *, made: date | None = None, asked: Mapping[str, Any] | None = None, screen: str = "") -> int:
        """Keep an answer, made today or on the day `made`; returns its number once it is safe on the disk.

        Parameters
        ----------
        asked : words and options that led to it; screen : how it was shown; both to be read again later
        """
        if isinstance(batch, BatchResult):
            if batch.refused:
                raise InputError(f"not kept: {batch.refused}")
            batch = kept(batch, day_made=made, asked=asked, screen=screen)
        return super().keep(batch)

    def finish(self, number: int, **said: Said) -> Kept:
        """Enter what came of a batch; returns the batch with it.

        Parameters
        ----------
        said : jars, used, over, ph, brix, boil, processed, found, unsealed, stored, date, note, as the command takes them:
            in words ("6 half-pints", "1/4 cup"), or numbers where the command has numbers
        """
        unknown = sorted(set(said) - set(OPTIONS))
        if unknown:
            raise InputError(f"finish knows no {unknown[0]}: it takes {', '.join(OPTIONS)}")
        for name, allowed in (("found", FOUND), ("stored", PLACES)):
            if said.get(name) is not None and said[name] not in allowed:
                raise InputError(f"{name} {said[name]!r}: write {either(allowed)}")
        words = SimpleNamespace(**{name: _words(name, said.get(name)) for name in OPTIONS})
        return self.enter(number, lambda batch: entry_from(words, batch, date.today()))

    def take(self, number: int, jars: int | str = 1, *, thrown: bool = False, of_unsealed: bool = False, day: date | None = None) -> Kept:
        """Jars eaten or given, or `thrown`: 2, or "2 half-pints"; returns the batch with what is left."""
        return self.enter(
            number, lambda batch: taken_from(str(jars), batch, thrown=thrown, of_unsealed=of_unsealed, day=day or date.today())
        )

    def shelf(self, day: date | None = None) -> tuple[ShelfRow, ...]:
        """Every jar that is left, with its date as seen on a day (today); off the shelf or past its date first, then the oldest."""
        return rows(self.with_jars(), day or date.today())


def _words(name: str, value: Said) -> str | list[str] | None:
    """What was said, as the command line has it."""
    if value is None:
        return None
    if name in MANY:
        return [str(word) for word in value] if isinstance(value, Sequence) and not isinstance(value, str) else [str(value)]
    return f"{value:.6g}" if isinstance(value, float) else str(value)
