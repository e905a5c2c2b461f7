"""A batch book that never stops a calculation: what is wrong with it is said in one line, and the tables answer alone."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from jamcalc.book.file import BookFile
from jamcalc.errors import BookError
from jamcalc.nouns.learned import NOTHING_LEARNED, Learned
from jamcalc.words.complaint import complain


class Teacher:
    """The book at a path, to learn from; what is wrong with it is told by `say`."""

    def __init__(self, path: Path, say: Callable[[str], None] = complain) -> None:
        self._path, self._say = path, say
        self._said = False

    def learned(self, items: Sequence[str]) -> Learned:
        """What it teaches of the kitchen and of these fruits; nothing, and why, where it cannot be read."""
        try:
            with BookFile(self._path, reading=True) as book:
                return book.learned(items)
        except BookError as error:
            if not self._said:
                self._say(f"{error}; the answer is from the tables alone")
            self._said = True
            return NOTHING_LEARNED
