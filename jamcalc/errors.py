"""Every error that jamcalc raises on purpose.

    JamcalcError                what a person sees as one line; exit code 2
    |-- InputError              a word, number, option or line cannot be read   (also ValueError)
    |   |-- OptionError         an option that a call does not have, or that has nothing to work on   (also TypeError)
    |   |-- RecipeError         a recipe or kitchen file has problems, all listed together
    |   `-- BookError           the batch book cannot be opened, read or written
    |-- UnknownItem             no such fruit, sweetener, jar ...; near names are offered  (also LookupError)
    |-- OutputError             standard output will not take the answer
    `-- NotPossible             understood, but not to be made as asked; exit code 1
        `-- FileStays           a file is there that must not be written over

Anything else that escapes is a defect of the program.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

MOST_PROBLEMS = 8  # of one file that are told; of more than these it says how many


class JamcalcError(Exception):
    """The root: `str(error)` is one line of plain English for the cook."""

    exit_code = 2


class InputError(JamcalcError, ValueError):
    """What was typed cannot be read: says what was read, what is wrong and what to write instead."""


class OptionError(InputError, TypeError):
    """A Python call does not have such an option, or nothing in the batch can follow it; says what there is instead."""


class RecipeError(InputError):
    """Several problems told at once, as of a file: `problems` holds one line for each, with file and key where there is one."""

    def __init__(self, problems: list[str]) -> None:
        super().__init__("\n".join(problems))
        self.problems = problems

    def told(self) -> list[str]:
        """The first problems, a line for each, and how many more there are."""
        more = len(self.problems) - MOST_PROBLEMS
        return self.problems[:MOST_PROBLEMS] + ([f"and {more} more"] if more > 0 else [])


def at_once(problems: Sequence[JamcalcError]) -> JamcalcError:
    """Several problems as one error that tells each of them once, a line each; one alone as it is."""
    lines = list(dict.fromkeys(line for problem in problems for line in str(problem).split("\n")))
    return problems[0] if len(lines) == 1 or len(problems) == 1 else RecipeError(lines)


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


class FileStays(NotPossible):
    """A file is there that must not be written over; `replaceable` where --replace would do it."""

    def __init__(self, message: str, *, replaceable: bool = False) -> None:
        super().__init__(message)
        self.replaceable = replaceable
