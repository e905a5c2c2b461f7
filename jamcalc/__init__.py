"""jamcalc: from the fruit on the table to a low-sugar jam that can be trusted.

    jamcalc.batch(["3 lb plums", "1 1/2 lb frozen blackberries"], sweetener="honey", altitude="4300 ft")
    jamcalc.check("my-recipe.toml")
    jamcalc.scale("my-recipe.toml", times=1.5)
    jamcalc.Book("book.sqlite").batches()
    jamcalc.acidity.mixture_ph({"citric": 0.05}, strong_ion_difference=0.05)

Nothing is imported until it is asked for, so that `jamcalc --help` starts at once.
"""

from __future__ import annotations

from importlib import import_module

__version__ = "0.1.0"
__all__ = ["Book", "acidity", "batch", "check", "scale"]

TYPE_CHECKING = False  # type checkers take it as true; typing's own takes longer to import than all else that --help needs
if TYPE_CHECKING:
    from jamcalc.api import batch, check, scale
    from jamcalc.book.python import Book
    from jamcalc.chemistry import acidity


def __getattr__(name: str) -> object:
    if name in ("batch", "check", "scale"):
        return getattr(import_module("jamcalc.api"), name)
    if name == "Book":
        return import_module("jamcalc.book.python").Book
    if name == "acidity":
        return import_module("jamcalc.chemistry.acidity")
    raise AttributeError(f"module 'jamcalc' has no attribute {name!r}")
