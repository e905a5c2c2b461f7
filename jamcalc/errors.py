"""Every error that jamcalc raises on purpose.

    JamcalcError                what a person sees as one line; exit code 2
    |-- InputError              a word, number, option or line cannot be read   (also ValueError)
    |   |-- RecipeError         a recipe or kitchen file has problems, all listed together
    |   `-- BookError           the batch book cannot be opened, read or written
    |-- UnknownItem             no such fruit, sweetener, jar ...; near names are offered  (also LookupError)
    |-- OutputError             standard output will not take the answer
    `-- NotPossible             understood, but not to be made as asked; exit code 1

Anything else that escapes is a defect of the program.
"""

from __future__ import annotations


class JamcalcError(Exception):
    """The root: `str(error)` is one line of plain English for the cook."""

    exit_code = 2


class InputError(JamcalcError, ValueError):
    """What was typed cannot be read: says what was read, what is wrong and what to write instead."""


class RecipeError(InputError):
    """A file has problems: `problems` holds one line for each, with file and key."""

    def __init__(self, problems: list[str]) -> None:
        super().__init__("\n".join(problems))
        self.problems = problems


class BookError(InputError):
    """The batch book is missing, damaged, locked, read-only or newer than the program; nothing in it was changed."""


class UnknownItem(JamcalcError, LookupError):
    """No such item: `near` holds up to three names that come close."""

    def __init__(self, message: str, near: tuple[str, ...] = ()) -> None:
        super().__init__(message)
        self.near = near


class OutputError(JamcalcError):
    """Standard output will not take the answer: the disk behind it is full, say."""


class NotPossible(JamcalcError):
    """Understood, but it cannot be made as asked; says why."""

    exit_code = 1
